"""What marking one part gives: a score, whether it was a critical miss, and why."""

from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True)
class Mark:
    """Score from 0 to 1; ``reason`` is a key; ``detail`` plain data for the page."""

    score: float
    reason: str
    critical_miss: bool = False
    detail: dict[str, Any] = field(default_factory=dict)
