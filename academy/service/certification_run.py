"""Simulated people through the assessments of the certificates: how often they err.

Families, draws, marking, forms, course and verdict are the real ones; only the people
are simulated. Equal content, people and seed give equal figures.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from functools import partial
from statistics import fmean, pstdev
from typing import Any, TypeVar

from academy.catalog import assessment, blueprints, competence, gate
from academy.catalog.blueprints import Blueprint
from academy.competence import renewal, simulated_course
from academy.competence.proportion import wilson
from academy.competence.safety_gate import clear_chance
from academy.competence.simulated_course import Ended, Sitting, World
from academy.service import answer_menus

DRAWS = 200  # verified draws of each family
LEVELS = tuple(step / 4 for step in range(-5, 6))  # logits
SAFE = (0.5, 0.7, 0.9, 0.98)
BELOW, LINE, ABOVE = -0.75, 0.0, 0.75
ORDINARY = World()
WORLDS: Mapping[str, World] = {
    "easier": World(easier=0.25),
    "harder": World(easier=-0.25),
    "clones": World(clone_sd=0.6),
    "correlated": World(correlation=0.6),
    "lost_scored": World(lost=0.05, lost_scored=True),
    "lost_replaced": World(lost=0.05),
}
_CHUNK = 250  # people handed to a worker at once
A = TypeVar("A")
B = TypeVar("B")


@dataclass(frozen=True, slots=True)
class Group:
    """Simulated people of one level and chance of a safe answer in one world."""

    certificate: str
    level: float
    safe: float = 1.0
    world: str = ""
    renewing: bool = False


Ended_of = dict[Group, list[Ended]]


@dataclass(frozen=True, slots=True)
class Plan:
    """Which certificates, how many people of each group, from which seed."""

    certificates: tuple[str, ...]
    people: int
    seed: int
    draws: int = DRAWS
    workers: int = 1
    stress: bool = False


def run(plan: Plan) -> list[dict[str, Any]]:
    """The figures of every certificate, as plain data; shares from 0 to 1.

    Raises NotFound for an unknown certificate, ContentError for one that cannot ask.
    """
    sittings = _sittings(plan)
    groups = [one for key in plan.certificates for one in _groups(key, plan.stress)]
    ended = _sat(sittings, groups, plan)
    return [_figures(key, plan, ended) for key in plan.certificates]


def _groups(key: str, stress: bool) -> list[Group]:
    found = [Group(key, level) for level in LEVELS]
    found += [Group(key, ABOVE, safe=safe) for safe in SAFE]
    ends = (BELOW, ABOVE)
    if blueprints.load(key).starting_credit:
        found += [Group(key, level, renewing=True) for level in ends]
    if stress:
        found += [Group(key, level, world=name) for name in WORLDS for level in ends]
    return found


def _each(work: Callable[[A], B], things: Iterable[A], workers: int) -> list[B]:
    if workers == 1:
        return list(map(work, things))
    with ProcessPoolExecutor(workers) as pool:
        return list(pool.map(work, things))


def _sittings(plan: Plan) -> dict[str, Sitting]:
    """What each certificate asks, with the draws of all its families."""
    prints = {key: blueprints.load(key) for key in plan.certificates}
    topics = {key: _families(each) for key, each in prints.items()}
    asked = sorted({f for each in topics.values() for fs in each.values() for f in fs})
    safety = {key: gate.concepts()[key].families for key in _concepts(prints)}
    closed = sorted({family for each in safety.values() for family in each})
    menus = partial(answer_menus.of_family, draws=plan.draws, seed=plan.seed)
    answers = partial(answer_menus.safety_of_family, draws=plan.draws, seed=plan.seed)
    drawn = dict(zip(asked, _each(menus, asked, plan.workers), strict=True))
    told = dict(zip(closed, _each(answers, closed, plan.workers), strict=True))
    of_concept = {
        key: tuple(one for family in families for one in told[family])
        for key, families in safety.items()
    }
    return {
        key: Sitting(
            weights=each.weights,
            concepts=each.concepts,
            families=topics[key],
            draws={f: drawn[f] for fs in topics[key].values() for f in fs},
            safety=of_concept,
            repeats=each.repeats,
            bar=assessment.bar(),
            gate=assessment.gate(),
        )
        for key, each in prints.items()
    }


def _families(blueprint: Blueprint) -> dict[str, tuple[str, ...]]:
    return {
        topic: blueprints.families_for(blueprint, topic) for topic in blueprint.weights
    }


def _concepts(prints: Mapping[str, Blueprint]) -> set[str]:
    return {concept for each in prints.values() for concept in each.concepts}


_open: dict[str, Sitting] = {}  # of a worker


def _begin(sittings: Mapping[str, Sitting]) -> None:
    _open.clear()
    _open.update(sittings)


def _sat(
    sittings: Mapping[str, Sitting], groups: Sequence[Group], plan: Plan
) -> Ended_of:
    tasks = [
        (group, first, min(first + _CHUNK, plan.people), plan.seed)
        for group in groups
        for first in range(0, plan.people, _CHUNK)
    ]
    if plan.workers == 1:
        _begin(sittings)
        results = list(map(_chunk, tasks))
    else:
        with ProcessPoolExecutor(plan.workers, None, _begin, (sittings,)) as pool:
            results = list(pool.map(_chunk, tasks))
    ended: Ended_of = {group: [] for group in groups}
    for (group, *_), told in zip(tasks, results, strict=True):
        ended[group] += told
    return ended


def _chunk(task: tuple[Group, int, int, int]) -> list[Ended]:
    """Some people of a group, one after the other."""
    group, first, end, seed = task
    sitting = _open[group.certificate]
    if group.renewing:
        sitting = replace(
            sitting,
            bar=renewal.bar_again(sitting.bar, assessment.again()),
            credit=renewal.starting_credit(1.0, assessment.again()),
        )
    model = competence.load()
    return [
        simulated_course.take(
            sitting,
            group.level,
            group.safe,
            WORLDS.get(group.world, ORDINARY),
            model,
            f"{seed}/{group}/{person}",
        )
        for person in range(first, end)
    ]


def _passed(ended: Sequence[Ended]) -> int:
    return sum(one.outcome == "pass" for one in ended)


def _errors(below: Sequence[Ended], above: Sequence[Ended]) -> dict[str, Any]:
    """False passes and false fails with their limits."""
    wrong = {
        "false_pass": (_passed(below), len(below)),
        "false_fail": (len(above) - _passed(above), len(above)),
    }
    told: dict[str, Any] = {}
    for name, (hits, tries) in wrong.items():
        low, high = wilson(hits, tries)
        told |= {name: hits / tries, f"{name}_low": low, f"{name}_high": high}
    return told


def _pair(key: str, ended: Ended_of, **more: Any) -> dict[str, Any]:
    below, above = (ended[Group(key, level, **more)] for level in (BELOW, ABOVE))
    return _errors(below, above)


def _figures(key: str, plan: Plan, ended: Ended_of) -> dict[str, Any]:
    curve = [ended[Group(key, level)] for level in LEVELS]
    line = ended[Group(key, LINE)]
    low, high = wilson(_passed(line), len(line))
    sat = [ended[Group(key, level)] for level in (BELOW, LINE, ABOVE)]
    lengths = [fmean(one.scenarios for one in each) for each in sat]
    told = {"key": key, "people": plan.people} | _pair(key, ended)
    told |= {
        "pass_on_line": _passed(line) / len(line),
        "pass_on_line_low": low,
        "pass_on_line_high": high,
        "mean_length": fmean(lengths),
        "lengths": lengths,
        "curve": [
            [level, _passed(each) / len(each)]
            for level, each in zip(LEVELS, curve, strict=True)
        ],
        "mean_par": fmean(one.mean_par for each in sat for one in each),
        "par_sd": pstdev(one.mean_par for each in sat for one in each),
        "gate": [_at_gate(key, safe, ended) for safe in SAFE],
    }
    if blueprints.load(key).starting_credit:
        told["renewing"] = _pair(key, ended, renewing=True)
    if plan.stress:
        told["stress"] = {name: _pair(key, ended, world=name) for name in WORLDS}
    return told


def _at_gate(key: str, safe: float, ended: Ended_of) -> dict[str, float]:
    """How many came through the gate, and how many should by exact law."""
    sat = ended[Group(key, ABOVE, safe=safe)]
    through = sum(one.outcome != "gate" for one in sat) / len(sat)
    exact = clear_chance(safe, assessment.gate())
    return {"safe": safe, "through": through, "exact": exact}
