"""Marking one part from what was stored with it; search and verdict never run again."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from academy import units
from academy.catalog import unit_slips
from academy.catalog.directions import WAYS
from academy.errors import NotUnderstood
from academy.grading.choice import mark_choice
from academy.grading.mark import Mark
from academy.grading.numeric import mark_number
from academy.grading.ordering import mark_order
from academy.grading.settings import mark_settings
from academy.scenarios.facts import Facts, bushel
from academy.service import (
    find_cause,
    find_leak,
    go_stop,
    inspection,
    one_change,
    read_stubble,
)
from academy.service.chosen import chosen_settings, measured
from academy.service.problems import problem_of, rounded

Part = Mapping[str, Any]


def _settings(part: Part, facts: Facts, answer: Mapping[str, Any]) -> Mark:
    problem = problem_of(facts, tuple(part["controls"]))
    settings = chosen_settings(part, facts, answer)
    readings = problem.run(settings, problem.values)
    broken = [name for name, flag in readings.violations.items() if bool(flag)]
    cost = rounded(float(readings.cost))  # as it is kept, so that it marks again alike
    regret = rounded(cost - part["best_cost"])
    mark = mark_settings(regret, part["r0"], part["r1"], broken)
    return replace(mark, detail=mark.detail | {"cost": cost})


def _direction(part: Part, facts: Facts, answer: Mapping[str, Any]) -> Mark:
    del facts
    if answer.get("way") not in WAYS:
        raise NotUnderstood("choose_one")
    return mark_choice(answer["way"], part["key"])


def _number(part: Part, facts: Facts, answer: Mapping[str, Any]) -> Mark:
    value, label = measured(answer["value"], units.KINDS[part["kind_of"]].metric)
    own = bushel(facts)
    slips = unit_slips.load().get(part["kind_of"], ())
    factors = {str(place): slip.factor(own) for place, slip in enumerate(slips)}
    key = float(units.from_si(part["key"], label, own))
    mark = mark_number(value, key, factors)
    return replace(mark, detail=mark.detail | {"key": key, "factors": factors})


def _order(part: Part, facts: Facts, answer: Mapping[str, Any]) -> Mark:
    del facts
    order = list(answer["order"])
    if sorted(order) != sorted(part["shown"]):
        raise NotUnderstood("steps_not_all_once")
    pairs = [(first, last) for first, last in part["pairs"]]
    critical = [(first, last) for first, last in part["critical"]]
    return mark_order(order, pairs, critical)


_MARKERS = {
    "set-up": _settings,
    "direction": _direction,
    "number": _number,
    "order": _order,
    "one-change": one_change.mark,
    "find-the-leak": find_leak.mark,
    "inspection": inspection.mark,
    "read-the-stubble": read_stubble.mark,
    "go-or-stop": go_stop.mark,
    "find-the-cause": find_cause.mark,
}


def mark(part: Part, facts: Facts, answer: Mapping[str, Any]) -> Mark:
    """Mark of an answer to a part; raises NotUnderstood, WrongUnit, OutOfRange."""
    return _MARKERS[part["kind"]](part, facts, answer)
