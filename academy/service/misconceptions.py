"""Which mistaken thought stands behind a wrong answer, and which keep coming back."""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from academy.catalog import (
    changes,
    faults,
    misconceptions,
    procedures,
    situations,
    unit_slips,
    walk_round,
)
from academy.catalog.toml_files import Twin, keys
from academy.scenarios import conditions
from academy.scenarios.facts import Facts
from academy.service.chosen import chosen_settings

Part = Mapping[str, Any]
Marks = Mapping[str, Any]
Given = Mapping[str, Any]
_CLEAR = 0.08  # of a control's range: nearer than this is no thought of its own
_LOOKED_BACK, _RECURS = 40, 2
TOLD = 3  # thoughts of one answer that are told at once; more would be a wall


def _settings(part: Part, facts: Facts, answer: Given, marks: Marks) -> list[str]:
    """The control that stands farthest from the best, by its range."""
    del marks
    yours = chosen_settings(part, facts, answer)
    best = part["best" if "best" in part else "key"]
    off = {
        control.name: (float(getattr(yours, control.name)) - best[control.name])
        / (control.high - control.low)
        for control in conditions.controls_of(facts, part["controls"])
    }
    name = max(off, key=lambda one: abs(off[one]))
    if abs(off[name]) < _CLEAR:
        return []
    return [f"settings.{name}.{'above' if off[name] > 0 else 'below'}"]


def _direction(part: Part, facts: Facts, answer: Given, marks: Marks) -> list[str]:
    del facts, marks
    return [f"directions.{part['setting']}.{answer['way']}"]


def _number(part: Part, facts: Facts, answer: Given, marks: Marks) -> list[str]:
    del facts, answer
    slip = marks["detail"].get("slip")
    return [] if slip is None else [f"slips.{part['kind_of']}.{slip}"]


def _order(part: Part, facts: Facts, answer: Given, marks: Marks) -> list[str]:
    del facts, answer
    way = "critical" if marks["critical_miss"] else "plain"
    return [f"orders.{part['procedure']}.{way}"]


def _change(part: Part, facts: Facts, answer: Given, marks: Marks) -> list[str]:
    del part, facts, marks
    return [f"changes.{answer['choice']}"]


def _leak(part: Part, facts: Facts, answer: Given, marks: Marks) -> list[str]:
    del part, facts, marks
    return [f"leak.{answer['choice']}"]


def _ticking(part: Part, facts: Facts, answer: Given, marks: Marks) -> list[str]:
    """Faults passed over, then sound things doubted; what can hurt someone first."""
    del part, facts, answer
    passed = sorted(marks["detail"].get("missed", ()), key=_mildness)
    doubted = sorted(marks["detail"].get("false", ()), key=_mildness)
    told = [f"findings.{key}.passed" for key in passed]
    return told + [f"findings.{key}.doubted" for key in doubted]


def _mildness(key: str) -> int:
    """0 for a finding that fails a person alone, 1 for one that can hurt, else 2."""
    finding = walk_round.load().get(key)
    if finding is None:
        return 2
    return 2 - finding.safety_critical - finding.critical


def _fault(part: Part, facts: Facts, answer: Given, marks: Marks) -> list[str]:
    del part, facts, marks
    return [f"faults.{answer['choice']}"]


def _call(part: Part, facts: Facts, answer: Given, marks: Marks) -> list[str]:
    del facts, marks
    return [f"calls.{part['situation']}.{answer['choice']}"]


_MET: Mapping[str, Callable[[Part, Facts, Given, Marks], list[str]]] = {
    "set-up": _settings,
    "direction": _direction,
    "number": _number,
    "order": _order,
    "one-change": _change,
    "find-the-leak": _leak,
    "inspection": _ticking,
    "read-the-stubble": _fault,
    "find-the-cause": _fault,
    "go-or-stop": _call,
}


def met(part: Part, facts: Facts, answer: Given, marks: Marks) -> list[str]:
    """Keys of the thoughts behind a wrong answer; none behind a right one.

    Where there are several, what can hurt someone comes first.
    """
    if marks["reason"] == "full" or part["kind"] not in _MET:
        return []
    return _MET[part["kind"]](part, facts, answer, marks)


def thought(key: str) -> Twin | None:
    """The thought in both languages; None for one that content knows no more."""
    group, _, rest = key.partition(".")
    look = _OWN.get(group)
    return misconceptions.load().get(key) if look is None else look(rest)


def _of_change(key: str) -> Twin | None:
    known = changes.load().get(key)
    return known.belief if known else None


def _of_fault(key: str) -> Twin | None:
    known = faults.load().get(key)
    return known.belief if known else None


def _of_slip(key: str) -> Twin | None:
    kind, _, place = key.partition(".")
    slips = unit_slips.load().get(kind, ())
    return slips[int(place)].name if int(place) < len(slips) else None


def _of_call(key: str) -> Twin | None:
    """Of a pool and a call; None when content has the pool no more."""
    pool, _, call = key.partition(".")
    if pool not in keys("situations"):
        return None
    belief: Twin = getattr(situations.load(pool).belief, call)
    return belief


def _of_finding(key: str) -> Twin | None:
    """Of a finding and a way to get it wrong; a finding known no more: in general."""
    name, _, way = key.partition(".")
    finding = walk_round.load().get(name)
    if finding is None:
        return misconceptions.load().get(f"ticking.{_TICKED[way]}")
    belief: Twin = getattr(finding.belief, way)
    return belief


def _of_order(key: str) -> Twin | None:
    """Of a procedure and the pairs turned; the general thought where it has none."""
    name, _, way = key.partition(".")
    procedure = procedures.known().get(name)
    own: Twin | None = getattr(procedure.belief, way) if procedure else None
    return own or misconceptions.load().get(f"order.{way}")


_TICKED = {"passed": "missed", "doubted": "false"}
_OWN: Mapping[str, Callable[[str], Twin | None]] = {
    "changes": _of_change,
    "faults": _of_fault,
    "slips": _of_slip,
    "calls": _of_call,
    "findings": _of_finding,
    "orders": _of_order,
}


def _habit(key: str) -> str:
    """The general thought of a way of ticking or ordering; "" for other keys."""
    group, _, rest = key.partition(".")
    way = rest.rpartition(".")[2]
    if group == "findings":
        return f"ticking.{_TICKED[way]}"
    return f"order.{way}" if group == "orders" else ""


@dataclass(frozen=True, slots=True)
class Wrong:
    """A wrong answer with its topic and the thoughts behind it."""

    topic: str
    thoughts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Recurring:
    """A thought that was met more than once of late, and where it was met last."""

    key: str
    times: int
    topic: str


def recurring(wrong: Sequence[Wrong]) -> tuple[Recurring, ...]:
    """What keeps coming back, most often first; ``wrong`` is newest first.

    Other findings each time, or other procedures, are one habit: thoughts on single
    ones that came once each count together as the general thought, once an answer.
    """
    looked = wrong[:_LOOKED_BACK]
    single = Counter(key for one in looked for key in one.thoughts)
    last: dict[str, str] = {}
    times: Counter[str] = Counter()
    for one in looked:
        once = {_habit(key) for key in one.thoughts if single[key] < _RECURS}
        for key in [*one.thoughts, *sorted(once - {""})]:
            last.setdefault(key, one.topic)
            times[key] += 1
    back = [Recurring(key, n, last[key]) for key, n in times.items() if n >= _RECURS]
    return tuple(sorted(back, key=lambda one: (-one.times, one.key)))
