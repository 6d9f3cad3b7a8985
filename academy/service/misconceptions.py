"""Which mistaken thought stands behind a wrong answer, and which keep coming back."""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from academy.catalog import changes, faults, misconceptions, situations, unit_slips
from academy.catalog.toml_files import Twin, keys
from academy.scenarios import conditions
from academy.scenarios.facts import Facts
from academy.service.chosen import chosen_settings

Part = Mapping[str, Any]
Marks = Mapping[str, Any]
Given = Mapping[str, Any]
_CLEAR = 0.08  # of a control's range: nearer than this is no thought of its own
_LOOKED_BACK, _RECURS = 40, 2


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
    del part, facts, answer
    return ["order.critical" if marks["critical_miss"] else "order.plain"]


def _change(part: Part, facts: Facts, answer: Given, marks: Marks) -> list[str]:
    del part, facts, marks
    return [f"changes.{answer['choice']}"]


def _leak(part: Part, facts: Facts, answer: Given, marks: Marks) -> list[str]:
    del part, facts, marks
    return [f"leak.{answer['choice']}"]


def _ticking(part: Part, facts: Facts, answer: Given, marks: Marks) -> list[str]:
    del part, facts, answer
    detail = marks["detail"]
    return [f"ticking.{way}" for way in ("missed", "false") if detail.get(way)]


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
    """Keys of the thoughts behind a wrong answer; none behind a right one."""
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


_OWN: Mapping[str, Callable[[str], Twin | None]] = {
    "changes": _of_change,
    "faults": _of_fault,
    "slips": _of_slip,
    "calls": _of_call,
}


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
    """What keeps coming back, most often first; ``wrong`` is newest first."""
    last: dict[str, str] = {}
    times: Counter[str] = Counter()
    for one in wrong[:_LOOKED_BACK]:
        for key in one.thoughts:
            last.setdefault(key, one.topic)
            times[key] += 1
    back = [Recurring(key, n, last[key]) for key, n in times.items() if n >= _RECURS]
    return tuple(sorted(back, key=lambda one: (-one.times, one.key)))
