"""The ground speed that costs least, and how far the doubt in coefficients moves it."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from academy.engine import pace, search
from academy.engine.coefficients import Coefficients
from academy.engine.header import Settings
from academy.engine.pace import Season
from academy.errors import OutOfRange
from academy.grading.verdict import Problem, draws_of

_POINTS = 97
_LOW, _HIGH = 0.10, 0.90
_TALLEST = 2.0  # times the least cost: beyond it the curve is only steep
Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Pace:
    """Cost [money/m2] over ground speed [m/s] with its band; where it is least.

    ``low`` and ``high`` hold eight of ten draws of the cost, ``best_low`` and
    ``best_high`` eight of ten draws of the best speed. ``barred`` speeds break a limit.
    """

    speeds: Array
    cost: Array
    low: Array
    high: Array
    barred: NDArray[np.bool_]
    yours: float
    your_cost: float
    best: float
    best_cost: float
    best_low: float
    best_high: float


def at_pace(settings: Settings, speeds: Array) -> Settings:
    """The settings at other speeds; the reel keeps its index, as a linked reel does."""
    rate = settings.reel_rate / settings.ground_speed * speeds
    return replace(settings, ground_speed=speeds, reel_rate=rate)


def _costs(
    problem: Problem, tried: Settings, c: Coefficients, season: Season | None
) -> tuple[Array, Array]:
    """Cost over the speeds, and the same infinite where a limit is broken."""
    read = problem.run(tried, c)
    cost, safe = np.asarray(read.cost), np.asarray(search.safe_cost(read))
    if season is not None:
        field = problem.field
        late = pace.season_cost(
            season, field.crop_yield, field.grain_price, read.area_rate
        )
        cost, safe = cost + late, safe + late
    shape = np.broadcast_shapes(cost.shape, safe.shape, np.shape(tried.ground_speed))
    return np.broadcast_to(cost, shape), np.broadcast_to(safe, shape)


def paced(problem: Problem, settings: Settings, season: Season | None = None) -> Pace:
    """Cost over ground speed, the other settings held, and where it is least.

    With a ``season`` its lateness is counted in. Raises OutOfRange when no speed is
    safe.
    """
    control = next(c for c in problem.controls if c.name == "ground_speed")
    speeds = np.linspace(control.low, control.high, _POINTS)
    tried = at_pace(settings, speeds)
    cost, safe = _costs(problem, tried, problem.values, season)
    spread, spread_safe = _costs(problem, tried, draws_of(problem), season)
    best = float(pace.least_at(speeds, safe))
    drawn = pace.least_at(speeds, spread_safe)
    drawn = drawn[np.isfinite(drawn)]
    if not np.isfinite(best) or not drawn.size:
        raise OutOfRange("no_safe_setting", name="controls", value=_POINTS)
    low, high = np.quantile(spread, (_LOW, _HIGH), axis=0)
    ends = (float(np.quantile(drawn, _LOW)), float(np.quantile(drawn, _HIGH)))
    here = float(settings.ground_speed)
    marked = (*ends, best, here)
    kept = _worth_drawing(speeds, cost, min(marked), max(marked))
    return Pace(
        speeds=speeds[kept],
        cost=cost[kept],
        low=low[kept],
        high=high[kept],
        barred=np.isinf(safe)[kept],
        yours=here,
        your_cost=float(np.interp(here, speeds, cost)),
        best=best,
        best_cost=float(np.interp(best, speeds, cost)),
        best_low=ends[0],
        best_high=ends[1],
    )


def _worth_drawing(
    speeds: Array, cost: Array, least: float, most: float
) -> NDArray[np.bool_]:
    """Speeds whose cost is not only steep, and all that are marked."""
    cheap = speeds[cost <= _TALLEST * cost.min()]
    step = speeds[1] - speeds[0]
    first, last = min(cheap.min(), least) - step, max(cheap.max(), most) + step
    return np.asarray((speeds >= first) & (speeds <= last))
