"""Par of a set-up: what a just-qualified operator scores on it, by simulation."""

from collections.abc import Sequence
from functools import lru_cache
from math import factorial
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from academy.catalog.borderline import Borderline
from academy.engine.ensemble import standard_normal
from academy.grading.ordering import Pair
from academy.grading.settings import regret_score
from academy.grading.verdict import Problem, SetUpVerdict, cost_of, settings_at

_SEED = 77
Counts: TypeAlias = NDArray[np.float64]
Sets: TypeAlias = NDArray[np.int64]  # of steps, as bits
_LEAST, _MOST = 0.05, 0.95  # a par must leave room on both sides


def setup_par(problem: Problem, verdict: SetUpVerdict, borderline: Borderline) -> float:
    """Mean score of ``borderline.operators`` simulated just-qualified operators.

    Each starts from the best settings, strays by a normal error in steps of the
    control, and leaves a control as found now and then.
    """
    controls = problem.controls
    rng = np.random.Generator(np.random.PCG64(_SEED))
    shape = (borderline.operators, len(controls))
    steps = np.array([borderline.error_steps[c.name].value * c.step for c in controls])
    best = np.array([float(getattr(verdict.best, c.name)) for c in controls])
    found = np.array([float(getattr(problem.as_found, c.name)) for c in controls])
    strayed = best + standard_normal(rng.random(shape)) * steps
    kept = rng.random(shape) < borderline.kept_as_found.value
    low, high = (
        np.array([getattr(c, end) for c in controls]) for end in ("low", "high")
    )
    rows = np.clip(np.where(kept, found, strayed), low, high)
    costs = cost_of(
        problem, settings_at(problem.as_found, controls, rows), problem.values
    )
    scores = [
        regret_score(min(c - verdict.best_cost, verdict.r0), verdict.r0, verdict.r1)
        for c in costs.tolist()
    ]
    return float(min(_MOST, max(_LEAST, round(sum(scores) / len(scores), 4))))


@lru_cache(maxsize=64)
def chance_floor_of_order(
    pairs: tuple[Pair, ...], critical: tuple[Pair, ...] = ()
) -> float:
    """Expected score of a random order, all orders being equally likely.

    Exact: orders are counted by how many of ``pairs`` they reverse, step by step over
    the sets of steps already placed, all sets of one size at once; an order that
    reverses a ``critical`` pair scores nothing and is left out of the count. ``pairs``
    must hold every critical pair.
    """
    steps = sorted({step for pair in pairs for step in pair})
    later, never = _masks(steps, pairs), _masks(steps, critical)
    bits = np.array([placed.bit_count() for placed in range(1 << len(steps))])
    worth = np.arange(len(pairs) // 2 + 1)  # more reversed pairs than half score 0
    ways = np.zeros((len(bits), len(worth)))
    ways[0, 0] = 1.0
    for count in range(len(steps)):
        layer = np.flatnonzero(bits == count)
        layer = layer[ways[layer].any(axis=1)]
        for step in range(len(steps)):
            barred = 1 << step | never[step]
            _place(ways, layer[layer & barred == 0], 1 << step, bits, later[step])
    scores = 1.0 - 2.0 * worth / len(pairs)
    return float(ways[-1] @ scores) / factorial(len(steps))


def _place(ways: Counts, placed: Sets, step: int, bits: Sets, later: int) -> None:
    """Add the ways that set ``step`` behind what is ``placed``, by pairs turned round.

    Whole numbers throughout, and so exact.
    """
    turned = bits[placed & later]
    for wrong in np.unique(turned[turned < ways.shape[1]]):
        own = placed[turned == wrong]
        ways[own | step, wrong:] += ways[own, : ways.shape[1] - wrong]


def _masks(steps: Sequence[str], pairs: Sequence[Pair]) -> list[int]:
    """For each step, as bits, the steps that must come after it."""
    place = {step: index for index, step in enumerate(steps)}
    found = [0] * len(steps)
    for before, after in pairs:
        found[place[before]] |= 1 << place[after]
    return found
