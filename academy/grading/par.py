"""Par of a set-up: what a just-qualified operator scores on it, by simulation."""

from math import sqrt

import numpy as np
from scipy import special

from academy.catalog.borderline import Borderline
from academy.grading.settings import regret_score
from academy.grading.verdict import Problem, SetUpVerdict, cost_of, settings_at

_SEED = 77
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
    strayed = best + special.ndtri(rng.random(shape)) * steps
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


def chance_floor_of_order(pairs: int) -> float:
    """Expected score of a random order over ``pairs`` independent pairs.

    E[max(0, 1 - 2V/C)] with V binomial(C, 1/2), in its normal limit: the expectation of
    the positive part of a normal deviate of spread 1/sqrt(C) is that over sqrt(2 pi).
    Pairs of a procedure hang together, so it is a derived approximation.
    """
    return 1.0 / sqrt(2.0 * np.pi * pairs)
