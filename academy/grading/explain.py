"""What a set-up did: readings, shares of the regret, and curves with their doubt."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from academy.engine import attribution, header
from academy.engine.header import Readings, Settings
from academy.engine.search import Control
from academy.grading.verdict import Problem, cost_of, draws_of

_POINTS = 41
_TALLEST = 3.0  # times the least cost: beyond it the curve is only steep
_MOST = 4.0  # times the least loss, likewise
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
    return problem.run(settings, problem.values)


def shares_of_regret(
    problem: Problem, settings: Settings, best: Settings
) -> Mapping[str, float]:
    """Each control's share of the regret [money/m2]; together they are the regret."""

    def cost(chosen: Settings) -> Array:
        readings = problem.run(chosen, problem.values)
        return np.asarray(readings.cost, dtype=float)

    names = [control.name for control in problem.controls]
    return attribution.shapley(cost, settings, best, names)


def curve(
    problem: Problem,
    control: Control,
    settings: Settings,
    also: Sequence[float] = (),
) -> Curve:
    """Cost over the range of one control, the others as in ``settings``.

    Ends that cost more than three times the least are left off, but never the chosen
    value nor those of ``also``: there the curve would only be steep.
    """
    values = np.linspace(control.low, control.high, _POINTS)
    along = replace(settings, **{control.name: values})
    cost = np.broadcast_to(
        np.asarray(readings_of(problem, along).cost, dtype=float), values.shape
    )
    named = [float(getattr(settings, control.name)), *also]
    kept = _worth_drawing(values, cost, named)
    values, cost = values[kept], cost[kept]
    along = replace(settings, **{control.name: values})
    spread = problem.run(along, draws_of(problem)).cost
    low, high = np.quantile(np.asarray(spread), (_LOW, _HIGH), axis=0)
    barred = np.isinf(cost_of(problem, along, problem.values))
    return Curve(values, cost, low, high, np.broadcast_to(barred, values.shape))


def costs_of(
    problem: Problem, settings: Settings, name: str, values: Sequence[float]
) -> list[float]:
    """Cost [money/m2] at some values of one control, the others as in ``settings``."""
    along = replace(settings, **{name: np.asarray(values, dtype=float)})
    cost = np.asarray(readings_of(problem, along).cost, dtype=float)
    return [float(each) for each in np.broadcast_to(cost, len(values))]


@dataclass(frozen=True, slots=True)
class LossCurves:
    """Losses [share of the crop] by piece over one control [SI], the others held."""

    values: Array
    pieces: Mapping[str, Array]


def losses_along(problem: Problem, control: Control, settings: Settings) -> LossCurves:
    """Every piece of the loss over the range of one control.

    Ends that lose more than four times the least are left off.
    """
    values = np.linspace(control.low, control.high, _POINTS)
    read = readings_of(problem, replace(settings, **{control.name: values}))
    pieces = {
        piece: np.broadcast_to(getattr(read, piece), values.shape)
        for piece in header.LOSS_PIECES
    }
    total = np.sum(list(pieces.values()), axis=0)
    fine = np.flatnonzero(total <= _MOST * total.min())
    kept = slice(int(fine[0]), int(fine[-1]) + 1)
    return LossCurves(values[kept], {name: each[kept] for name, each in pieces.items()})


def _worth_drawing(
    values: Array, cost: Array, named: Sequence[float]
) -> NDArray[np.bool_]:
    cheap = values[cost <= _TALLEST * cost.min()]
    step = values[1] - values[0]
    first, last = min(cheap.min(), *named), max(cheap.max(), *named)
    return np.asarray((values >= first - step) & (values <= last + step))
