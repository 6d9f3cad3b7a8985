"""What each field calculator asks, from ``content/calculators.toml``."""

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import Self

from pydantic import RootModel, model_validator

from academy import paths, units
from academy.catalog.evidence import Evidenced, UnitLabel
from academy.catalog.toml_files import Record, Twin, Words, read


class Example(Record):
    """A figure for the hint, in the unit its kind is shown in."""

    us: float
    metric: float


class Asked(Record):
    """One figure that a calculator asks for, and between which bounds."""

    kind: Words
    name: Twin
    hint: Twin | None = None
    low: float
    high: float
    unit: UnitLabel
    example: Example
    start: Evidenced | None = None

    @model_validator(mode="after")
    def _fits_its_kind(self) -> Self:
        if self.unit not in units.labels_for(self.kind):
            raise ValueError(f"unit {self.unit!r} does not measure {self.kind}")
        if not self.low < self.high:
            raise ValueError("low must be below high")
        return self

    def bounds(self, bushel: float) -> tuple[float, float]:
        """Low and high in SI; ``bushel`` [kg] for units that count bushels."""
        return (
            units.to_si(self.low, self.unit, bushel),
            units.to_si(self.high, self.unit, bushel),
        )


class _File(RootModel[dict[str, dict[str, Asked]]]):
    pass


@cache
def load() -> Mapping[str, Mapping[str, Asked]]:
    """Every calculator's figures by calculator and name; raises ContentError."""
    found = read(_File, paths.content() / "calculators.toml").root
    return MappingProxyType({key: MappingProxyType(of) for key, of in found.items()})
