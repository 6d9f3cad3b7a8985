"""A number together with its unit, its range and how we know it."""

from typing import Annotated, Literal, Self

from pydantic import AfterValidator, model_validator

from academy import units
from academy.catalog.toml_files import Record, Twin, Words

EvidenceClass = Literal["published", "derived", "practice", "memory", "judgement"]


def _known_unit(label: str) -> str:
    if label not in units.LABELS:
        raise ValueError(f"unit {label!r} is not one of ours")
    return label


UnitLabel = Annotated[Words, AfterValidator(_known_unit)]


class Evidenced(Record):
    """A value with unit, low and high bound, evidence class and source key.

    A ``fixed`` value is a definition, a rule or an invented measure: it is never drawn
    from its range. Every other judgement must state one.
    """

    name: Twin | None = None
    value: float
    low: float | None = None
    high: float | None = None
    unit: UnitLabel
    evidence: EvidenceClass
    source: Words
    note: Twin | None = None
    fixed: bool = False

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if not self.lowest <= self.value <= self.highest:
            raise ValueError("low, value and high are out of order")
        if (self.low is None) != (self.high is None):
            raise ValueError("a range has two ends")
        if self.evidence == "judgement" and self.low is None and not self.fixed:
            raise ValueError("a judgement needs a range")
        return self

    @property
    def lowest(self) -> float:
        """Low bound, or the value itself where there is no range."""
        return self.value if self.low is None else self.low

    @property
    def highest(self) -> float:
        """High bound, or the value itself where there is no range."""
        return self.value if self.high is None else self.high

    def si(self, bushel: float | None = None) -> tuple[float, float, float]:
        """Low, value and high in SI; ``bushel`` [kg] where the unit counts bushels."""
        return (
            units.to_si(self.lowest, self.unit, bushel),
            units.to_si(self.value, self.unit, bushel),
            units.to_si(self.highest, self.unit, bushel),
        )

    def drawn_si(self, bushel: float | None = None) -> tuple[float, float, float]:
        """As ``si``, but a fixed value has no range."""
        low, value, high = self.si(bushel)
        return (value, value, value) if self.fixed else (low, value, high)

    def called(self, language: str, otherwise: str = "") -> str:
        """The figure's name in ``language``; ``otherwise`` where it has none."""
        return otherwise if self.name is None else self.name.for_language(language)


class Named(Evidenced):
    """An evidenced value that is told to people by its name."""

    name: Twin
