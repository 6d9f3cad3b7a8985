"""What ``regrade`` must know of each kind of part: the one place a new kind plugs in.

``rules``: by the number kept with the marks, how answers were marked from stored values
alone (``grading/rules.py``). ``rerun``: what the engine says again of one attempt, as
pairs of the kept and the found figure by name; None where marking needs no engine.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from math import inf
from typing import Any, TypeAlias

from academy.catalog import changes
from academy.catalog import signs as catalog
from academy.engine import header
from academy.engine.coefficients import Coefficients
from academy.engine.header import Field, Machine, Settings
from academy.grading import rules
from academy.grading.rules import Rule, Stored
from academy.scenarios import conditions, counted, faulty, signs, stubble
from academy.scenarios.change import changed
from academy.scenarios.facts import Facts
from academy.scenarios.number import COMPUTABLES
from academy.service.chosen import chosen_settings
from academy.service.problems import rounded

Pairs: TypeAlias = Mapping[str, tuple[Any, Any]]


@dataclass(frozen=True, slots=True)
class Attempted:
    """One attempt as it is stored, with the coefficients it was made with."""

    facts: Facts
    place: int
    part: Stored
    answer: Stored
    detail: Stored
    values: Coefficients


@dataclass(frozen=True, slots=True)
class Kind:
    """How one kind of part is graded again."""

    rules: Mapping[int, Rule]
    rerun: Callable[[Attempted], Pairs] | None = None


def _set_up(tried: Attempted) -> Pairs:
    found, part = conditions.as_found(tried.facts), tried.part
    typed = chosen_settings(part, tried.facts, tried.answer)
    cost, broken = _run(tried, typed)
    return {
        "cost": (tried.detail["cost"], cost),
        "violations": (list(tried.detail.get("violations", ())), broken),
        "best_cost": (part["best_cost"], _run(tried, _best(tried, found))[0]),
        "found_cost": (part["found_cost"], _run(tried, found)[0]),
    }


def _run(tried: Attempted, settings: Settings) -> tuple[float, list[str]]:
    field = conditions.field_of(tried.facts)
    return _readings(tried, field, conditions.machine_of(tried.facts), settings)


def _readings(
    tried: Attempted, field: Field, machine: Machine, settings: Settings
) -> tuple[float, list[str]]:
    """Cost, and the hard limits that are broken."""
    readings = header.run(field, machine, settings, tried.values)
    broken = [name for name, flag in readings.violations.items() if bool(flag)]
    return float(readings.cost), broken


def _best(tried: Attempted, found: Settings) -> Settings:
    """The stored best, put back on the steps that its nine digits stand for."""
    chosen = {}
    for control in conditions.controls_of(tried.facts, tried.part["controls"]):
        kept = tried.part["best"][control.name]
        steps = round((kept - control.low) / control.step)
        chosen[control.name] = control.low + steps * control.step
    return replace(found, **chosen)


def _number(tried: Attempted) -> Pairs:
    computable = COMPUTABLES[tried.part["computable"]]
    return {"key": (tried.part["key"], computable.value(tried.facts))}


def _one_change(tried: Attempted) -> Pairs:
    """Which of the changes that can be made costs least."""
    field, costs = conditions.field_of(tried.facts), dict[str, float]()
    for key in tried.part["shown"]:
        after = changed(tried.facts, changes.load()[key])
        if after is not None:
            cost, broken = _readings(tried, field, *after)
            costs[key] = inf if broken else cost
    return {"key": (tried.part["key"], min(costs, key=costs.__getitem__))}


def _find_the_leak(tried: Attempted) -> Pairs:
    return {"lost": (tried.part["lost"], list(counted.losses(tried.facts)))}


def _found(tried: Attempted, names: Sequence[str]) -> Pairs:
    """The signs that the fault leaves, to the nine digits that are kept."""
    part = tried.part
    one = replace(faulty.pass_of(tried.facts), values=tried.values)
    bad = faulty.with_fault(one, part["key"], part["mirrored"])
    again = [rounded(each) for each in signs.read(bad, names)[:, 0].tolist()]
    return {"found": (part["found"], again)}


def _find_the_cause(tried: Attempted) -> Pairs:
    return _found(tried, catalog.of_groups(tuple(tried.part["evidence"])))


def _read_the_stubble(tried: Attempted) -> Pairs:
    """Signs and pictures; of a part from before there were signs, nothing is run."""
    if "found" not in tried.part:
        return {}
    one = replace(faulty.pass_of(tried.facts), values=tried.values)
    drawn = stubble.traces(one, tried.part["key"], tried.place)
    rows = zip(("across", "along"), drawn, strict=True)
    lines = {name: (tried.part[name], asdict(trace)) for name, trace in rows}
    return {**_found(tried, stubble.names()), **lines}


KINDS: Mapping[str, Kind] = {
    "set-up": Kind({1: rules.set_up_1}, _set_up),
    "direction": Kind({1: rules.direction_1}),
    "number": Kind({1: rules.number_1}, _number),
    "order": Kind({1: rules.order_1}),
    "one-change": Kind({1: rules.choice_1}, _one_change),
    "find-the-leak": Kind({1: rules.choice_1}, _find_the_leak),
    "inspection": Kind({1: rules.inspection_1}),
    "read-the-stubble": Kind({1: rules.choice_1}, _read_the_stubble),
    "go-or-stop": Kind({1: rules.go_or_stop_1}),
    "find-the-cause": Kind({1: rules.choice_1}, _find_the_cause),
}
