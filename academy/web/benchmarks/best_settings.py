"""How good and how quick the search for the best settings is.

The same drawn fields go through our search and through SciPy's differential evolution
on the same grid and the same engine. The best known value of a field is the best that
either found.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import cycle
from statistics import median
from time import perf_counter
from typing import Any

from academy.catalog import families
from academy.engine import search
from academy.grading import verdict
from academy.grading.verdict import Problem
from academy.scenarios.draw import draw
from academy.service.problems import problem_of
from academy.web.benchmarks.measure import Measure

FIRST_SEED, SEEDS = 10_000, 200
GAP = 0.001  # of the best known value
_SAME = 1e-9  # two costs that differ by less are one
_BROKEN = 1e6  # stands for infinite: evolution wants to subtract costs
_ROUNDS = 300
_TIMES = 3  # each is run this often; its middle time counts


@dataclass(frozen=True, slots=True)
class Race:
    """One field: costs and seconds of both; evolution's course, round by round."""

    cost: float
    seconds: float
    other_cost: float
    other_course: tuple[tuple[float, float], ...]

    @property
    def gap(self) -> float:
        """Share by which our cost lies above the best known one."""
        best = min(self.cost, self.other_cost)
        return (self.cost - best) / best

    def other_until(self, gap: float) -> float | None:
        """Seconds until evolution came within a gap of the best; None for never."""
        bar = min(self.cost, self.other_cost) * (1.0 + gap + _SAME)
        return next((when for when, cost in self.other_course if cost <= bar), None)


def problems(count: int) -> Iterator[Problem]:
    """Set-ups drawn from the seeds, the families taking turns."""
    asked = [
        (key, family, part.controls)
        for key, family in families.known().items()
        for part in family.parts
        if part.kind == "set-up"
    ]
    seeds = range(FIRST_SEED, FIRST_SEED + count)
    for seed, (key, family, controls) in zip(seeds, cycle(asked), strict=False):
        yield problem_of(draw(key, family, seed), controls)


def _cost_on_grid(problem: Problem) -> Callable[[Any], Any]:
    low = [control.low for control in problem.controls]
    step = [control.step for control in problem.controls]

    def cost(points: Any) -> Any:
        rows = low + ((points.T - low) / step).round() * step
        settings = verdict.settings_at(problem.as_found, problem.controls, rows)
        return verdict.cost_of(problem, settings, problem.values).clip(max=_BROKEN)

    return cost


def _evolved(problem: Problem, seed: int) -> tuple[tuple[float, float], ...]:
    """Seconds and best cost after each round of differential evolution."""
    from scipy.optimize import differential_evolution

    course: list[tuple[float, float]] = []
    start = perf_counter()

    def note(intermediate_result: Any) -> None:
        course.append((perf_counter() - start, float(intermediate_result.fun)))

    differential_evolution(
        _cost_on_grid(problem),
        [(c.low, c.low + c.step * (c.size - 1)) for c in problem.controls],
        vectorized=True,
        updating="deferred",
        polish=False,
        rng=seed,
        tol=1e-8,
        maxiter=_ROUNDS,
        callback=note,
    )
    return tuple(course)


def _searched(problem: Problem) -> tuple[float, float]:
    """Seconds of our search, and the cost it found."""
    start = perf_counter()
    found = search.best(
        problem.field,
        problem.machine,
        problem.as_found,
        problem.controls,
        problem.values,
    )
    return perf_counter() - start, found.cost


def race(problem: Problem, seed: int) -> Race:
    """Let both look for the best settings of one field, each three times."""
    seconds, cost = sorted(_searched(problem) for _ in range(_TIMES))[_TIMES // 2]
    courses = [_evolved(problem, seed) for _ in range(_TIMES)]
    course = sorted(courses, key=lambda rounds: rounds[-1][0])[_TIMES // 2]
    return Race(cost, seconds, min(cost for _, cost in course), course)


def _ratio(races: list[Race], gaps: list[float]) -> float:
    """Median of evolution's time over ours; a field it never solves counts in full."""
    ratios = []
    for one, gap in zip(races, gaps, strict=True):
        reached = one.other_until(gap)
        ratios.append((reached or one.other_course[-1][0]) / one.seconds)
    return median(ratios)


def measure(seeds: int = SEEDS) -> list[Measure]:
    """Time of the search, how often it is right, and evolution's time over ours."""
    races = [race(each, seed) for seed, each in enumerate(problems(seeds))]
    close = sum(one.gap <= GAP for one in races) / len(races)
    missed = sum(one.other_until(GAP) is None for one in races) / len(races)
    return [
        Measure("search_median", 1e3 * median(one.seconds for one in races), "ms"),
        Measure("search_within_0.1_percent_of_best", 100 * close, "%", least=100),
        Measure("search_largest_gap", 100 * max(one.gap for one in races), "%"),
        Measure(
            "evolution_time_to_same_gap_over_search_time",
            _ratio(races, [one.gap for one in races]),
            "times",
            least=10,
        ),
        Measure(
            "evolution_time_to_0.1_percent_over_search_time",
            _ratio(races, [GAP] * len(races)),
            "times",
        ),
        Measure("evolution_never_within_0.1_percent", 100 * missed, "%"),
    ]
