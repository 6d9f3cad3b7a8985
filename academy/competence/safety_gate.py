"""The safety gate: all right, or one miss corrected and then proven; never averaged."""

from collections.abc import Sequence
from typing import Literal

from academy.catalog.assessment import Gate
from academy.grading.mark import Mark

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


def answered_safely(kinds: Sequence[str], marks: Sequence[Mark]) -> bool:
    """Whether a safety question is right: no critical miss, every choice right.

    The order of a procedure is right when no safety-critical pair is reversed.
    """
    return all(
        not mark.critical_miss and (kind == "order" or mark.score == 1)
        for kind, mark in zip(kinds, marks, strict=True)
    )


def clear_chance(safe: float, gate: Gate) -> float:
    """Chance to get through for a person who answers safely with chance ``safe``."""
    at_once = safe**gate.questions
    one_miss = gate.questions * safe ** (gate.questions - 1) * (1 - safe)
    return float(at_once + one_miss * safe**gate.fresh)


def _after_one_miss(fresh: Sequence[bool], gate: Gate) -> State:
    if not all(fresh):
        return "closed"
    return "clear" if len(fresh) >= gate.fresh else "correct"
