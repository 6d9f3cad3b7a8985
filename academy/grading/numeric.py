"""A number with a unit: full marks near the key, a slip of unit recognised."""

from collections.abc import Mapping
from math import floor, log10

from academy.grading.mark import Mark

FULL, NOTHING = 0.02, 0.10  # shares of the key
SLIP_SCORE = 0.5  # the method was right
_POWERS = {"ten": 10.0, "hundred": 100.0, "thousand": 1000.0}


def full_tolerance(key: float) -> float:
    """Share of the key that still earns full marks: 2 %, or half the third digit.

    ``key`` is in the unit asked, not 0.
    """
    digit = 10.0 ** (floor(log10(abs(key))) - 2)
    return max(FULL, 0.5 * digit / abs(key))


def numeric_score(answer: float, key: float) -> float:
    """1 within the full tolerance, falling in a straight line to 0 at five times it."""
    off = abs(answer / key - 1)
    full = full_tolerance(key)
    nothing = max(NOTHING, 2 * full)
    return min(1.0, max(0.0, (nothing - off) / (nothing - full)))


def slip_in(answer: float, key: float, factors: Mapping[str, float]) -> str | None:
    """Name of the factor, or its inverse, that turns the key into the answer."""
    for name, factor in {**factors, **_POWERS, "sign": -1.0}.items():
        for times in (factor, 1 / factor):
            if abs(answer / (key * times) - 1) <= full_tolerance(key):
                return name
    return None


def mark_number(answer: float, key: float, factors: Mapping[str, float]) -> Mark:
    """Mark of a number; ``answer`` and ``key`` in the same unit."""
    score = numeric_score(answer, key)
    detail = {"off": answer / key - 1}
    if score > 0:
        return Mark(round(score, 4), "full" if score >= 1 else "close", detail=detail)
    slip = slip_in(answer, key, factors)
    if slip is not None:
        return Mark(SLIP_SCORE, "unit_slip", detail=detail | {"slip": slip})
    return Mark(0.0, "far_off", detail=detail)
