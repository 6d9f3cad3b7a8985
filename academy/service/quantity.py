"""What a computed quantity is: which figures it asks, and how it comes of them."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from academy import units
from academy.catalog.evidence import Evidenced
from academy.catalog.grains import Grain
from academy.engine import grain
from academy.errors import NotUnderstood

Leans = Mapping[str, Evidenced]


@dataclass(frozen=True, slots=True)
class Given:
    """Typed figures in SI by name, and the crop that was named with its grain."""

    si: Mapping[str, float]
    crop: Grain | None = None
    crop_key: str = ""

    def __getitem__(self, name: str) -> float:
        return self.si[name]


@dataclass(frozen=True, slots=True)
class Asked:
    """One figure a quantity needs: its kind in ``units.KINDS``."""

    kind: str
    needed: bool = True
    signed: bool = False  # may be below zero, as a temperature is


def no_parts(_given: Given) -> Mapping[str, float]:
    """For a figure that is one alone."""
    return {}


def leans_on_nothing(_given: Given) -> Leans:
    """For a figure that follows from the typed ones alone."""
    return {}


def no_notes(_given: Given) -> tuple[str, ...]:
    """For a figure that needs no word beside it."""
    return ()


@dataclass(frozen=True, slots=True)
class Quantity:
    """How one quantity is computed; ``like`` names the figure whose unit it takes.

    ``parts`` are the pieces of a sum, in the unit of the whole; ``notes`` are messages
    that belong beside the figure.
    """

    kind: str
    asks: Mapping[str, Asked]
    formula: Callable[[Given], float]
    source: str
    crop: bool | None = None  # needed, never taken, or (None) taken where it matters
    like: str | None = None
    evidence: str = "derived"
    leans_on: Callable[[Given], Leans] = field(default=leans_on_nothing)
    parts: Callable[[Given], Mapping[str, float]] = field(default=no_parts)
    notes: Callable[[Given], tuple[str, ...]] = field(default=no_notes)


def call(formula: Callable[..., object], *names: str) -> Callable[[Given], float]:
    """The formula fed with the figures ``names``, in its own order."""

    def fed(given: Given) -> float:
        return float(formula(*(given[name] for name in names)))  # type: ignore[arg-type]

    return fed


def lent(given: Given, name: str, entry: Evidenced) -> float:
    """The figure ``name`` in SI as typed, or the content's own where it was not."""
    return given[name] if name in given.si else entry.si()[1]


_RULES: Mapping[str, str] = MappingProxyType(
    {"kernels_per_bushel_area": "bu/ac", "kernels_per_100_kg_ha": "kg/ha"}
)
_OF_RULE = {"bu/ac": 1.0, "kg/ha": 100.0}


def kernel_figures(counted: Grain) -> list[str]:
    """Which figures say what a kernel of the crop weighs, the trade's rule first."""
    names = (*_RULES, "kernel_mass")
    return [name for name in names if getattr(counted, name) is not None]


def kernel_of(counted: Grain) -> tuple[str, float]:
    """The figure that says what a kernel weighs, and the mass [kg].

    Raises NotUnderstood for a crop that has none: then the weight must be typed.
    """
    for name in kernel_figures(counted):
        figure = float(getattr(counted, name).si()[1])
        if name == "kernel_mass":
            return name, figure
        label = _RULES[name]
        stated = units.to_si(_OF_RULE[label], label, counted.bushel)
        return name, float(grain.kernel_mass_for(stated, figure))
    raise NotUnderstood("missing_argument", name="kernel-weight")


def kernel_entry(given: Given) -> Leans:
    """The crop's own entry for the weight of a kernel; nothing when it was typed."""
    if "kernel-weight" in given.si or given.crop is None:
        return {}
    name, _ = kernel_of(given.crop)
    return {name: getattr(given.crop, name)}


def kernel_mass(given: Given) -> float:
    """Mass of one kernel [kg], typed or the crop's own."""
    if "kernel-weight" in given.si or given.crop is None:
        return given["kernel-weight"]
    return kernel_of(given.crop)[1]
