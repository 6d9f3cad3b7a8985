"""One measured figure beside what it should be."""

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Measure:
    """A figure with its unit; ``most`` or ``least`` is its target, if it has one."""

    name: str
    value: float
    unit: str
    most: float | None = None
    least: float | None = None

    @property
    def met(self) -> bool | None:
        """Whether the target is met; None without a target."""
        if self.most is not None:
            return self.value <= self.most
        return None if self.least is None else self.value >= self.least

    @property
    def target(self) -> str:
        """The target in signs: ``<= 40``, ``>= 10``, or nothing."""
        if self.most is not None:
            return f"<= {self.most:g}"
        return "" if self.least is None else f">= {self.least:g}"

    def as_plain(self) -> dict[str, Any]:
        """The measure as plain data, four significant digits."""
        return {
            "name": self.name,
            "value": float(f"{self.value:.4g}"),
            "unit": self.unit,
            "target": self.target,
            "met": self.met,
        }
