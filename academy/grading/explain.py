"""What a set-up did: readings, shares of the regret, and curves with their doubt."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from academy.engine import attribution, header
from academy.engine.header import Readings, Settings
from academy.engine.search import Control
from academy.grading.verdict import Problem, cost_of, draws_of

_POINTS = 25
_LOW, _HIGH = 0.10, 0.90
Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Curve:
    """Cost [money/m2] over one control [SI], the others held; band over the draws.

    ``barred`` marks values at which a hard limit is broken.
    """

    values: Array
    cost: Array
    low: Array
    high: Array
    barred: NDArray[np.bool_]


def readings_of(problem: Problem, settings: Settings) -> Readings:
    """Readings of one setting with the best guess of every coefficient."""
    return header.run(problem.field, problem.machine, settings, problem.values)


def shares_of_regret(
    problem: Problem, settings: Settings, best: Settings
) -> Mapping[str, float]:
    """Each control's share of the regret [money/m2]; together they are the regret."""

    def cost(chosen: Settings) -> Array:
        readings = header.run(problem.field, problem.machine, chosen, problem.values)
        return np.asarray(readings.cost, dtype=float)

    names = [control.name for control in problem.controls]
    return attribution.shapley(cost, settings, best, names)


def curve(problem: Problem, control: Control, settings: Settings) -> Curve:
    """Cost over the whole range of one control, the others as in ``settings``."""
    values = np.linspace(control.low, control.high, _POINTS)
    along = replace(settings, **{control.name: values})
    readings = header.run(problem.field, problem.machine, along, problem.values)
    spread = header.run(problem.field, problem.machine, along, draws_of(problem)).cost
    low, high = np.quantile(np.asarray(spread), (_LOW, _HIGH), axis=0)
    barred = np.isinf(cost_of(problem, along, problem.values))
    cost = np.broadcast_to(np.asarray(readings.cost, dtype=float), values.shape)
    return Curve(values, cost, low, high, np.broadcast_to(barred, values.shape))
