"""Marking one part from what was stored with it; search and verdict never run again."""

from collections.abc import Mapping
from dataclasses import replace
from math import isfinite
from typing import Any

from academy import units
from academy.catalog import unit_slips
from academy.catalog.directions import WAYS
from academy.engine import header
from academy.engine.header import Settings
from academy.errors import NotUnderstood, OutOfRange, WrongUnit
from academy.grading.choice import mark_choice
from academy.grading.mark import Mark
from academy.grading.numeric import mark_number
from academy.grading.ordering import mark_order
from academy.grading.settings import mark_settings
from academy.scenarios import conditions
from academy.scenarios.facts import Facts, bushel
from academy.service.making import problem_of, rounded

Part = Mapping[str, Any]


def _measured(pair: Any, like: str) -> tuple[float, str]:
    """A finite number and its label, which measures what ``like`` measures."""
    value, label = float(pair[0]), str(pair[1])
    if units.si_of(label) != units.si_of(like):
        raise WrongUnit("wrong_dimension", unit=label, allowed=like)
    if not isfinite(value):
        raise NotUnderstood("not_a_number", text=str(pair[0]))
    return value, label


def chosen_settings(part: Part, facts: Facts, answer: Mapping[str, Any]) -> Settings:
    """The person's settings in SI; what was not asked stands as found.

    A control moves in steps: what was typed is the nearest of them.

    Raises NotUnderstood when one is missing, WrongUnit for what measures something
    else, OutOfRange beyond the control's ends.
    """
    chosen = {}
    for control in conditions.controls_of(facts, part["controls"]):
        if control.name not in answer.get("controls", {}):
            raise NotUnderstood("setting_missing", name=control.name)
        like = conditions.range_of(facts, control.name).unit
        value, label = _measured(answer["controls"][control.name], like)
        given = float(units.to_si(value, label, bushel(facts)))
        slack = control.step / 2  # the ends as shown are rounded
        if not control.low - slack <= given <= control.high + slack:
            raise OutOfRange("beyond_the_control", name=control.name, value=value)
        steps = round((given - control.low) / control.step)
        steps = min(max(steps, 0), control.size - 1)
        chosen[control.name] = control.low + steps * control.step
    return replace(conditions.as_found(facts), **chosen)


def _settings(part: Part, facts: Facts, answer: Mapping[str, Any]) -> Mark:
    problem = problem_of(facts, tuple(part["controls"]))
    settings = chosen_settings(part, facts, answer)
    readings = header.run(problem.field, problem.machine, settings, problem.values)
    broken = [name for name, flag in readings.violations.items() if bool(flag)]
    regret = rounded(float(readings.cost) - part["best_cost"])
    mark = mark_settings(regret, part["r0"], part["r1"], broken)
    return replace(mark, detail=mark.detail | {"cost": rounded(float(readings.cost))})


def _direction(part: Part, facts: Facts, answer: Mapping[str, Any]) -> Mark:
    del facts
    if answer.get("way") not in WAYS:
        raise NotUnderstood("choose_one")
    return mark_choice(answer["way"], part["key"])


def _number(part: Part, facts: Facts, answer: Mapping[str, Any]) -> Mark:
    value, label = _measured(answer["value"], units.KINDS[part["kind_of"]].metric)
    own = bushel(facts)
    slips = unit_slips.load().get(part["kind_of"], ())
    factors = {str(place): slip.factor(own) for place, slip in enumerate(slips)}
    key = float(units.from_si(part["key"], label, own))
    return mark_number(value, key, factors)


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
}


def mark(part: Part, facts: Facts, answer: Mapping[str, Any]) -> Mark:
    """Mark of an answer to a part; raises NotUnderstood, WrongUnit, OutOfRange."""
    return _MARKERS[part["kind"]](part, facts, answer)
