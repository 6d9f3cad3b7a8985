"""How each kind of part was marked, rule by rule, from what was stored with it.

A rule is one small function per kind and version; it reads the stored part, answer and
marks, never content or engine, and it never changes once answers were marked by it.
When a way of marking changes: freeze here what the old one did, raise ``RULE``, and add
the new function under the new number in ``service/regrade_kinds.py``.
"""

from collections.abc import Callable, Mapping
from typing import Any, TypeAlias

from academy.grading.choice import mark_choice
from academy.grading.mark import Mark
from academy.grading.numeric import mark_number
from academy.grading.ordering import mark_order
from academy.grading.settings import mark_settings
from academy.grading.ticking import mark_ticks

RULE = 1
"""The rule that answers are marked by now; it is kept with the marks."""

Stored: TypeAlias = Mapping[str, Any]
Rule: TypeAlias = Callable[[Stored, Stored, Stored], Mark]
"""From the stored part, the answer, and the details kept of its marks."""


def set_up_1(part: Stored, _answer: Stored, detail: Stored) -> Mark:
    """Regret of the stored cost over the stored best, to nine digits."""
    regret = float(f"{detail['cost'] - part['best_cost']:.9g}")
    broken = list(detail.get("violations", ()))
    return mark_settings(regret, part["r0"], part["r1"], broken)


def direction_1(part: Stored, answer: Stored, _detail: Stored) -> Mark:
    """The way that was chosen, right or wrong."""
    return mark_choice(answer["way"], part["key"])


def number_1(_part: Stored, answer: Stored, detail: Stored) -> Mark:
    """The number beside its key in the unit of the answer, and the slips of unit."""
    return mark_number(float(answer["value"][0]), detail["key"], detail["factors"])


def order_1(part: Stored, answer: Stored, _detail: Stored) -> Mark:
    """The stored pairs that the order has the wrong way round."""
    pairs = [(first, last) for first, last in part["pairs"]]
    critical = [(first, last) for first, last in part["critical"]]
    return mark_order(list(answer["order"]), pairs, critical)


def choice_1(part: Stored, answer: Stored, _detail: Stored) -> Mark:
    """The option that was chosen, right or wrong."""
    return mark_choice(answer["choice"], part["key"], wrong="wrong_choice")


def go_or_stop_1(part: Stored, answer: Stored, detail: Stored) -> Mark:
    """The call; going on where a source says stop is a critical miss."""
    if part["critical"] and answer["choice"] == "go":
        kept = {"key": part["key"]}
        return Mark(0.0, "went_on", critical_miss=True, detail=kept)
    return choice_1(part, answer, detail)


def inspection_1(part: Stored, answer: Stored, _detail: Stored) -> Mark:
    """What was ticked beside the stored findings; nothing ticked is kept as no list."""
    ticked = list(answer.get("ticked", []))
    return mark_ticks(ticked, part["bad"], part["good"], part["critical"])
