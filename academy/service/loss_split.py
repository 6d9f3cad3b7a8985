"""Grain on the ground told apart by where it was lost, from counts at three places."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from academy.engine import counting
from academy.errors import OutOfRange
from academy.service.quantity import Asked, Given, Quantity, kernel_entry, kernel_mass


@dataclass(frozen=True, slots=True)
class Split:
    """Grain lost before the harvest, at the header and behind it [kg/m^2]."""

    before: float
    header: float
    behind: float

    @property
    def total(self) -> float:
        """All of it, spread over the cut [kg/m^2]."""
        return self.before + self.header + self.behind


@dataclass(frozen=True, slots=True)
class Counts:
    """Kernels in a frame at the three places; area [m^2] and both widths [m]."""

    before: float
    header: float
    behind: float
    area: float
    cut_width: float
    discharge_width: float

    def __post_init__(self) -> None:
        steps = ((self.before, self.header), (self.header, self.behind))
        for nearer, farther in steps:
            if farther < nearer:
                raise OutOfRange(
                    "fewer_seeds_farther_back", value=farther, least=nearer
                )
        if self.discharge_width > self.cut_width:
            raise OutOfRange(
                "straw_wider_than_cut", value=self.discharge_width, most=self.cut_width
            )


def split(counts: Counts, kernel: float) -> Split:
    """The three losses for kernels of a mass [kg]; raises OutOfRange."""
    before, header, behind = (
        float(counting.count_to_mass_per_area(count, counts.area, kernel))
        for count in (counts.before, counts.header, counts.behind)
    )
    factor = counting.concentration_factor(counts.cut_width, counts.discharge_width)
    return Split(
        before,
        float(counting.header_loss(header, before)),
        float(counting.machine_loss(behind, header, factor)),
    )


def _split(given: Given) -> Split:
    counts = Counts(
        given["before-count"],
        given["header-count"],
        given["behind-count"],
        given["frame-area"],
        given["cut-width"],
        given["discharge-width"],
    )
    return split(counts, kernel_mass(given))


def _parts(given: Given) -> Mapping[str, float]:
    found = _split(given)
    return {
        "pre-harvest": found.before,
        "gathering": found.header,
        "processing": found.behind,
    }


_COUNT, _WIDTH = Asked("count"), Asked("length")
QUANTITY = Quantity(
    "loss_mass",
    MappingProxyType(
        {
            "before-count": _COUNT,
            "header-count": _COUNT,
            "behind-count": _COUNT,
            "frame-area": Asked("area"),
            "cut-width": _WIDTH,
            "discharge-width": _WIDTH,
            "kernel-weight": Asked("kernel_mass", needed=False),
        }
    ),
    lambda given: _split(given).total,
    "mass-balance",
    crop=True,
    leans_on=kernel_entry,
    parts=_parts,
)
