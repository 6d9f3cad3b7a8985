"""One fault put into a header at work: what it changes, and what the engine then runs.

A fault's effects are told in ``content/faults/``. Faults of one side are told of the
left; ``mirrored`` puts them on the right.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from dataclasses import field as made
from math import tan
from typing import Any

import numpy as np

from academy import units
from academy.catalog import coefficients, combines, faults, headers, whole
from academy.catalog.faults import Effect
from academy.engine import whole_header
from academy.engine.coefficients import Coefficients
from academy.engine.conditions import Field, Machine, Settings
from academy.engine.hinged_bar import sections_alike
from academy.engine.si import Number
from academy.engine.whole_state import Beliefs, Build, State, WholeReadings
from academy.errors import ContentError, NotFound
from academy.scenarios import conditions
from academy.scenarios import whole as whole_facts
from academy.scenarios.facts import Facts

Runs = tuple[WholeReadings, WholeReadings, WholeReadings]
_SIDES = {"left": "right", "right": "left"}


@dataclass(frozen=True, slots=True)
class Pass:
    """What the engine runs on; ``seen`` is what lies beyond its states, by name."""

    facts: Facts
    field: Field
    machine: Machine
    settings: Settings
    values: Coefficients
    build: Build
    state: State
    believed: Beliefs
    seen: Mapping[str, float] = made(default_factory=dict)

    def run(self) -> Runs:
        """Left, middle and right: one run, but for a header that is not level."""
        tilt = self.seen.get("tilt", 0.0)
        if not tilt:
            done = self._at(0.0)
            return done, done, done
        lift = float(self.machine.width) / 3.0 * tan(tilt)  # middle of an outer third
        return self._at(lift), self._at(0.0), self._at(-lift)

    def _at(self, lift: float) -> WholeReadings:
        low = np.maximum(self.settings.cut_height + lift, 0.0)
        return whole_header.run(
            self.field,
            self.machine,
            replace(self.settings, cut_height=low),
            self.values,
            self.build,
            self.state,
            self.believed,
        )


def pass_of(facts: Facts) -> Pass:
    """The header of the facts in the state they tell, with what is believed best."""
    return Pass(
        facts=facts,
        field=conditions.field_of(facts),
        machine=conditions.machine_of(facts),
        settings=conditions.as_found(facts),
        values=coefficients.load(facts["crop"]).values,
        build=whole.build(facts["crop"], headers.load(facts["header"])),
        state=whole_facts.state_of(facts),
        believed=whole.beliefs(),
    )


# --- effects


def _mirror(path: str) -> str:
    """The path of the other side."""
    where, _, name = path.rpartition(".")
    turned = "_".join(_SIDES.get(word, word) for word in name.split("_"))
    return f"{where}.{turned}"


def _after(found: Number, effect: Effect) -> Number:
    """A figure after the effect, in SI."""
    if effect.amount is None:
        raise ContentError("fault_needs_amount", file="faults", field=effect.sets)
    amount = float(effect.amount.si()[1])
    if effect.how == "to":
        return amount
    if effect.how == "times":
        return found * amount
    return found + amount - float(units.to_si(0.0, effect.amount.unit))


def _record(one: Any, name: str, effect: Effect) -> Any:
    if not hasattr(one, name):
        raise NotFound("no_such_content", name=effect.sets)
    after = effect.kind or _after(getattr(one, name), effect)
    return replace(one, **{name: after})


def _setting(one: Pass, name: str, effect: Effect) -> Pass:
    changed = _record(one.settings, name, effect)
    low = np.maximum(changed.cut_height, 0.0)
    return replace(one, settings=replace(changed, cut_height=low))


def _field(one: Pass, name: str, effect: Effect) -> Pass:
    return replace(one, field=_record(one.field, name, effect))


def _state(one: Pass, path: str, effect: Effect) -> Pass:
    part, _, name = path.partition(".")
    changed = _record(getattr(one.state, part, None), name, effect)
    return replace(one, state=replace(one.state, **{part: changed}))


def _machine(one: Pass, name: str, effect: Effect) -> Pass:
    if name == "bar":  # locked: one stiff piece, whatever it was
        m = one.machine
        held = sections_alike("rigid", m.sensed, m.carried, 0.0)
        stiff = replace(m, bar_travel=0.0, build="rigid", sections=held)
        return replace(one, machine=stiff)
    facts = {**one.facts, name: effect.kind}
    return replace(one, facts=facts, machine=conditions.machine_of(facts))


def _windrow(one: Pass) -> float:
    """Share of the cut width under chaff that nothing spreads."""
    width = combines.load(one.facts["combine"]).discharge_width.si()[1]
    return width / float(one.machine.width)


def _seen(one: Pass, name: str, effect: Effect) -> Pass:
    value = _windrow(one) if effect.kind else float(_after(0.0, effect))
    return replace(one, seen={**one.seen, name: value})


_PUT: Mapping[str, Callable[[Pass, str, Effect], Pass]] = {
    "settings": _setting,
    "field": _field,
    "state": _state,
    "machine": _machine,
    "seen": _seen,
}


def touched(key: str) -> frozenset[str]:
    """Names of the facts that a fault would give the lie to."""
    named = set()
    for effect in faults.load()[key].does:
        group, _, name = effect.sets.partition(".")
        named |= {f"as_found.{name}"} if group == "settings" else {name}
    return frozenset(named)


def touched_by(keys: Iterable[str]) -> frozenset[str]:
    """Names of the facts that any of some faults would give the lie to."""
    return frozenset().union(*(touched(key) for key in keys))


def with_fault(one: Pass, key: str, mirrored: bool = False) -> Pass:
    """The pass with one fault in it; raises NotFound for what no header has."""
    for effect in faults.load()[key].does:
        path = _mirror(effect.sets) if mirrored else effect.sets
        group, _, name = path.partition(".")
        if group not in _PUT:
            raise NotFound("no_such_content", name=effect.sets)
        one = _PUT[group](one, name, effect)
    if mirrored and "tilt" in one.seen:
        one = replace(one, seen={**one.seen, "tilt": -one.seen["tilt"]})
    return one
