"""The safety gate: all right, or one miss corrected and then proven; never averaged."""

from collections.abc import Sequence
from typing import Literal

from academy.catalog.assessment import Gate

State = Literal["open", "correct", "clear", "closed"]


def state(first: Sequence[bool], fresh: Sequence[bool], gate: Gate) -> State:
    """Where a person stands after the first questions and the fresh ones so far.

    "open": questions remain; "correct": one miss is to be put right and fresh questions
    follow; "clear": through; "closed": not this time.
    """
    misses = list(first).count(False)
    if misses > 1:
        return "closed"
    if len(first) < gate.questions:
        return "open"
    return "clear" if misses == 0 else _after_one_miss(fresh, gate)


def clear_chance(safe: float, gate: Gate) -> float:
    """Chance to get through for a person who answers safely with chance ``safe``."""
    at_once = safe**gate.questions
    one_miss = gate.questions * safe ** (gate.questions - 1) * (1 - safe)
    return float(at_once + one_miss * safe**gate.fresh)


def _after_one_miss(fresh: Sequence[bool], gate: Gate) -> State:
    if not all(fresh):
        return "closed"
    return "clear" if len(fresh) >= gate.fresh else "correct"
