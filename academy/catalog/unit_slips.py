"""Usual slips of unit, by kind of quantity: a factor that gives the slip away."""

from functools import cache

from pydantic import RootModel

from academy import paths, units
from academy.catalog.evidence import UnitLabel
from academy.catalog.toml_files import Record, Twin, read


class Slip(Record):
    """A wrong factor: of one unit to another, or a plain one such as two."""

    name: Twin
    taken: UnitLabel | None = None
    meant: UnitLabel | None = None
    times: float = 1.0

    def factor(self, bushel: float | None) -> float:
        """What the right value is multiplied by when this slip is made."""
        if self.taken is None or self.meant is None:
            return self.times
        one = units.to_si(1.0, self.taken, bushel) / units.to_si(
            1.0, self.meant, bushel
        )
        return float(one) * self.times


class _Slips(RootModel[dict[str, tuple[Slip, ...]]]):
    pass


@cache
def load() -> dict[str, tuple[Slip, ...]]:
    """Slips by kind of quantity; raises ContentError."""
    return read(_Slips, paths.content() / "unit_slips.toml").root
