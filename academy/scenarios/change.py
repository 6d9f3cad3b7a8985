"""One change made to the machine as found."""

from dataclasses import replace

from academy import units
from academy.catalog import combines, headers
from academy.catalog.changes import Change
from academy.engine.header import Machine, Settings
from academy.scenarios import conditions
from academy.scenarios.facts import Facts

_LEAST = 0.5  # of a step: less is no change


def changed(facts: Facts, change: Change) -> tuple[Machine, Settings] | None:
    """Machine and settings after the change; None when it cannot be made.

    A control stops at its ends and moves in its steps.
    """
    machine, settings = conditions.machine_of(facts), conditions.as_found(facts)
    if change.carried is not None:
        if change.carried == machine.carried:
            return None
        header, combine = headers.load(facts["header"]), combines.load(facts["combine"])
        return headers.machine(header, combine, change.carried), settings
    if not change.setting:
        return machine, settings
    (control,) = conditions.controls_of(facts, [change.setting])
    found = float(getattr(settings, change.setting))
    zero = units.to_si(0.0, change.unit)
    wanted = found + float(units.to_si(change.by, change.unit) - zero)
    steps = round((wanted - control.low) / control.step)
    value = control.low + control.step * min(max(steps, 0), control.size - 1)
    if abs(value - found) < _LEAST * control.step or (value > found) != (change.by > 0):
        return None
    return machine, replace(settings, **{change.setting: value})
