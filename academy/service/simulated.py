"""How an invented person answers: from the stored best, more or less astray.

Only the demonstration uses it. It types what a person could type: settings on their
steps and in the units of the cab display, numbers rounded, steps in some order.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from academy import units
from academy.catalog import procedures
from academy.catalog.demo_farm import DemoFarm
from academy.catalog.directions import WAYS
from academy.catalog.headers import ControlRange
from academy.catalog.situations import CALLS
from academy.scenarios import conditions
from academy.scenarios.dice import Dice
from academy.scenarios.facts import Facts, bushel
from academy.service import find_leak

_FINE = 10_000


@dataclass(frozen=True, slots=True)
class Simulated:
    """A person of some skill (0 to 1) with a stream of luck."""

    farm: DemoFarm
    skill: float
    system: units.System
    dice: Dice

    def answers(self, payload: Mapping[str, Any]) -> dict[int, dict[str, Any]]:
        """Answers to all parts of a stored scenario, by place from 1."""
        by_kind = {
            "set-up": self._set_up,
            "direction": self._direction,
            "number": self._number,
            "order": self._order,
            "inspection": self._inspection,
        }
        return {
            place: by_kind.get(part["kind"], self._choice)(part, payload["facts"])
            for place, part in enumerate(payload["parts"], start=1)
        }

    def _set_up(self, part: Mapping[str, Any], facts: Facts) -> dict[str, Any]:
        chosen = {}
        for name in part["controls"]:
            control = conditions.range_of(facts, name)
            if self._happens(self.farm.kept_as_found * (1 - self.skill)):
                value = _as_found(name, control, facts)
            else:
                best = float(units.from_si(part["best"][name], control.unit))
                value = best + self._astray(control)
            chosen[name] = [_on_step(value, control), control.unit]
        return {"controls": chosen}

    def _direction(self, part: Mapping[str, Any], facts: Facts) -> dict[str, Any]:
        del facts
        if self._happens(self.skill):
            return {"way": part["key"]}
        return {"way": self.dice.one_of([way for way in WAYS if way != part["key"]])}

    def _number(self, part: Mapping[str, Any], facts: Facts) -> dict[str, Any]:
        label = units.KINDS[part["kind_of"]].shown(self.system)[0]
        value = float(units.from_si(part["key"], label, bushel(facts)))
        if not self._happens(self.skill):
            value *= self.dice.one_of(self.farm.wrong_factors)
        return {"value": [float(f"{value:.4g}"), label]}

    def _choice(self, part: Mapping[str, Any], facts: Facts) -> dict[str, Any]:
        del facts
        if self._happens(self.skill):
            return {"choice": part["key"]}
        others = [key for key in offered(part) if key != part["key"]]
        return {"choice": self.dice.one_of(others)}

    def _inspection(self, part: Mapping[str, Any], facts: Facts) -> dict[str, Any]:
        del facts
        bad = [key for key in part["bad"] if self._happens(self.skill)]
        good = [key for key in part["good"] if self._happens((1 - self.skill) / 2)]
        return {"ticked": [*bad, *good]}

    def _order(self, part: Mapping[str, Any], facts: Facts) -> dict[str, Any]:
        del facts
        order = [step.key for step in procedures.known()[part["procedure"]].steps]
        for _ in order:
            if not self._happens(self.skill):
                place = self.dice.below(len(order) - 1)
                order[place], order[place + 1] = order[place + 1], order[place]
        return {"order": order}

    def _happens(self, chance: float) -> bool:
        return self.dice.below(_FINE) < chance * _FINE

    def _astray(self, control: ControlRange) -> float:
        """A slip to either side, within the missing skill's share of the range."""
        aside = 2 * self.dice.below(_FINE) / _FINE - 1
        widest = self.farm.stray * (control.high - control.low)
        return aside * widest * (1 - self.skill)


def offered(part: Mapping[str, Any]) -> Sequence[str]:
    """Keys that a stored part with a choice offers."""
    if part["kind"] == "find-the-leak":
        return tuple(find_leak.PLACES)  # parts of old do not say them
    found: Sequence[str] = part.get("shown") or part.get("offered") or CALLS
    return found


def _as_found(name: str, control: ControlRange, facts: Facts) -> float:
    if f"as_found.{name}" not in facts:
        return control.usual
    value, label = facts[f"as_found.{name}"]
    return float(units.from_si(units.to_si(float(value), label), control.unit))


def _on_step(value: float, control: ControlRange) -> float:
    steps = round((value - control.low) / control.step)
    most = round((control.high - control.low) / control.step)
    return round(control.low + min(max(steps, 0), most) * control.step, 9)
