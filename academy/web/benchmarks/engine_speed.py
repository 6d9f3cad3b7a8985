"""A million settings through the engine, beside the same sum as one compiled loop.

Both use one processor core. The engine gives every reading and refuses what is out of
range; the loop gives cost and limits alone and checks nothing.
"""

from collections.abc import Callable, Iterator
from functools import reduce
from statistics import median
from time import perf_counter
from typing import Any

import numpy as np

from academy.engine import header
from academy.engine.header import Settings
from academy.grading.verdict import Problem
from academy.web.benchmarks import compiled_engine
from academy.web.benchmarks.best_settings import problems
from academy.web.benchmarks.measure import Measure

EVALUATIONS = 1_000_000
CHUNK = 8192  # readings of so many settings stay in the processor's nearest memory
LEAST = 0.5
_TIMES = 5  # each is run this often, by turns; middle times count


def _drawn(problem: Problem, count: int) -> dict[str, Any]:
    """Settings between the ends of every control asked, else as found, as arrays."""
    random = np.random.Generator(np.random.PCG64(count))
    drawn = {
        name: np.full(count, float(getattr(problem.as_found, name)))
        for name in compiled_engine.SETTINGS
    }
    for control in problem.controls:
        if control.name in drawn:
            high = control.low + control.step * (control.size - 1)
            drawn[control.name] = random.uniform(control.low, high, count)
    return drawn


def _chunks(problem: Problem, drawn: dict[str, Any]) -> Iterator[Settings]:
    still = {"float_force": 0.0, "tine_pitch": 0.0}
    still = {name: float(getattr(problem.as_found, name)) for name in still}
    for start in range(0, len(drawn["ground_speed"]), CHUNK):
        part = {name: row[start : start + CHUNK] for name, row in drawn.items()}
        yield Settings(**part, **still)


def ours(problem: Problem, drawn: dict[str, Any]) -> tuple[Any, Any]:
    """Cost and broken limits of every setting, from ``header.run``."""
    cost, broken = [], []
    for settings in _chunks(problem, drawn):
        read = header.run(problem.field, problem.machine, settings, problem.values)
        cost.append(read.cost)
        broken.append(reduce(np.logical_or, read.violations.values()))
    return np.concatenate(cost), np.concatenate(broken)


def theirs(problem: Problem, drawn: dict[str, Any]) -> tuple[Any, Any]:
    """The same from the compiled loop."""
    count = len(drawn["ground_speed"])
    cost, broken = np.empty(count), np.empty(count, dtype=np.bool_)
    rows = tuple(drawn[name] for name in compiled_engine.SETTINGS)
    plain = compiled_engine.plain
    field, machine = plain(problem.field), plain(problem.machine)
    compiled_engine.costs(field, machine, plain(problem.values), rows, cost, broken)
    return cost, broken


def _seconds(work: Callable[..., object], *given: object) -> float:
    start = perf_counter()
    work(*given)
    return perf_counter() - start


def measure(evaluations: int = EVALUATIONS) -> list[Measure]:
    """Evaluations a second, and our speed over the compiled loop's where numba is."""
    problem = next(problems(1))
    drawn = _drawn(problem, evaluations)
    rivals = [ours, theirs] if compiled_engine.there else [ours]
    for rival in rivals:
        rival(problem, drawn)  # compiling does not count
    rounds = [
        [_seconds(rival, problem, drawn) for rival in rivals] for _ in range(_TIMES)
    ]
    own = median(each[0] for each in rounds)
    found = [Measure("engine_evaluations", evaluations / own / 1e6, "million/s")]
    if compiled_engine.there:
        ratio = median(each[1] / each[0] for each in rounds)
        found.append(
            Measure("engine_speed_over_compiled_loop", ratio, "times", least=LEAST)
        )
    return found
