"""What a person typed, as the engine takes it: a number of its kind, settings."""

from collections.abc import Mapping
from dataclasses import replace
from math import isfinite
from typing import Any

from academy import units
from academy.engine.header import Settings
from academy.errors import NotUnderstood, OutOfRange, WrongUnit
from academy.scenarios import conditions
from academy.scenarios.facts import Facts, bushel

Part = Mapping[str, Any]


def measured(pair: Any, like: str) -> tuple[float, str]:
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
        value, label = measured(answer["controls"][control.name], like)
        given = float(units.to_si(value, label, bushel(facts)))
        slack = control.step / 2  # the ends as shown are rounded
        if not control.low - slack <= given <= control.high + slack:
            raise OutOfRange("beyond_the_control", name=control.name, value=value)
        steps = round((given - control.low) / control.step)
        steps = min(max(steps, 0), control.size - 1)
        chosen[control.name] = control.low + steps * control.step
    return replace(conditions.as_found(facts), **chosen)
