"""Facts turned into a whole header: its build, and the state its parts are found in.

A fact ``state.<part>.<name>`` is a figure with its unit or the key of a kind; what is
not stated is as it ordinarily is, and in good order.
"""

from dataclasses import replace
from typing import Any

import numpy as np

from academy.catalog import headers, hours, parts, whole
from academy.engine import whole_header
from academy.engine.coefficients import Coefficients
from academy.engine.header import Field, Machine, Readings, Run, Settings
from academy.engine.hour import HourEffect, hour_effect
from academy.engine.whole_state import State, WholeReadings
from academy.errors import NotFound
from academy.scenarios import conditions
from academy.scenarios.facts import Facts, si
from academy.scenarios.following import Hanging

PREFIX = "state."


def _known(part: str, name: str, value: Any) -> None:
    """Refuse a part, a figure or a kind that there is not."""
    known = parts.load(part)
    if name in known.choices and value in known.choices[name].kinds:
        return
    if name not in known.state or isinstance(value, str):
        raise NotFound("no_such_content", name=f"{part}.{name}")


def state_of(facts: Facts) -> State:
    """The state that the facts tell; raises NotFound for what no header has."""
    state = whole.in_order(facts["crop"], headers.load(facts["header"]))
    changed: dict[str, dict[str, Any]] = {}
    for fact in sorted(fact for fact in facts if fact.startswith(PREFIX)):
        _, part, name = fact.split(".")
        value = facts[fact]
        _known(part, name, value)
        told = value if isinstance(value, str) else si(facts, fact)
        changed.setdefault(part, {})[name] = told
    return replace(
        state,
        **{part: replace(getattr(state, part), **to) for part, to in changed.items()},
    )


def engine_of(facts: Facts) -> Run:
    """The engine of the facts' header in the state that they tell."""
    build, state = (
        whole.build(facts["crop"], headers.load(facts["header"])),
        state_of(facts),
    )
    believed = whole.beliefs()

    def run(field: Field, machine: Machine, at: Settings, c: Coefficients) -> Readings:
        done = whole_header.run(field, machine, at, c, build, state, believed)
        return done.readings

    return run


def whole_run(facts: Facts, settings: Settings, c: Coefficients) -> WholeReadings:
    """All that the whole header of the facts does at some settings."""
    return whole_header.run(
        conditions.field_of(facts),
        conditions.machine_of(facts),
        settings,
        c,
        whole.build(facts["crop"], headers.load(facts["header"])),
        state_of(facts),
        whole.beliefs(),
    )


def at_hour(facts: Facts, day: str, time: float) -> HourEffect:
    """What an hour, in seconds from midnight, makes of the field of the facts.

    The facts are of the usual reading time; raises NotFound for an unknown day.
    """
    _known("hour", "day", day)
    state = state_of(facts)
    return hour_effect(
        field=conditions.field_of(facts),
        stand=state.stand,
        state=replace(state.hour, day=day, hour=time),
        c=whole.beliefs().hour,
        hours=hours.hours_of(facts["crop"]),
    )


def section_forces(done: WholeReadings) -> tuple[float, float, float]:
    """Force on the ground of left wing, centre and right wing [N/m]."""
    left, centre, right = np.ravel(done.wings.section_force * done.bar.float_factor)
    return float(left), float(centre), float(right)


def hanging(done: WholeReadings, state: State) -> Hanging:
    """How the bar hangs on the frame, for a run over drawn ground."""
    left, centre, right = (float(f) for f in np.ravel(done.wings.section_force))
    bar = state.bar
    return Hanging(
        freedom=bar.freedom,
        float_force=(left, centre, right),
        tilt=bar.tilt,
        shoes_down=bar.shoes_down,
        header_angle=bar.header_angle,
        control_response=bar.control_response,
    )


def followed(done: WholeReadings) -> bool:
    """Whether drawn ground can tell how the bar follows: its wings and control work."""
    return not (wings_held(done) or bool(done.bar.violations["control_hunts"]))


def wings_held(done: WholeReadings) -> bool:
    """Whether a wing hangs or is held stiff, and does not follow as it should."""
    return bool(np.min(done.wings.travel_factor) < 1.0)


def wings_out(done: WholeReadings) -> bool:
    """Whether a wing is held or loaded otherwise than the rest."""
    return wings_held(done) or len(set(section_forces(done))) > 1
