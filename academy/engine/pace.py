"""The pace that costs least: found along a curve, and what a late season adds to it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from academy.engine import economics, guard
from academy.engine.si import (
    KilogramPerSquareMetre,
    MoneyPerKilogram,
    MoneyPerSquareMetre,
    PerSecond,
    Ratio,
    SquareMetre,
    SquareMetrePerSecond,
)
from academy.errors import OutOfRange

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """A season's work and what a day of it late costs."""

    timeliness: PerSecond  # share of the crop's worth lost in unit time
    area: SquareMetre
    working_share: Ratio  # of a work day's hours
    workday_share: Ratio  # of days fit for work
    schedule_divisor: Ratio


def season_cost(
    season: Season,
    crop_yield: KilogramPerSquareMetre,
    grain_price: MoneyPerKilogram,
    area_rate: SquareMetrePerSecond,
) -> MoneyPerSquareMetre:
    """Timeliness cost of a whole season at a pace, per field area.

    Slow is gentle on this field and hard on the last one of the season.

    Parameters
    ----------
    season : the season's area, hours and days, and what a day costs
    crop_yield : [kg/m^2] grain per field area
    grain_price : [money/kg] price of the grain
    area_rate : [m^2/s] area finished in unit time of work

    Returns
    -------
    [money/m^2] timeliness cost

    Raises
    ------
    OutOfRange : when a figure lies where it cannot be, or all would be lost

    Notes
    -----
    ``economics.timeliness_cost`` [schuler-2005] [mass-balance].

    Examples
    --------
    >>> late = Season(
    ...     timeliness=0.01, area=100.0, working_share=0.5, workday_share=0.5,
    ...     schedule_divisor=4.0,
    ... )
    >>> round(season_cost(late, 0.5, 0.4, 10.0), 6)
    0.02
    """
    return economics.timeliness_cost(
        season.timeliness,
        crop_yield,
        grain_price,
        season.area,
        area_rate,
        season.working_share,
        season.workday_share,
        season.schedule_divisor,
    )


def least_at(values: Floats, costs: Floats) -> Floats:
    """Value at which each curve costs least, finer than the values stand apart.

    ``values`` rise evenly; ``costs`` has them along the last axis, infinite where a
    limit is broken. A parabola through the least cost and its two neighbours gives
    the place between them; at an end, or beside a broken limit, it is the value
    itself. A curve that is nowhere finite gives nan. Raises OutOfRange.
    """
    grid = np.asarray(values, dtype=np.float64)
    guard.finite("values", grid)
    steps = np.diff(grid)
    if len(grid) < 3 or not np.allclose(steps, steps[0]) or steps[0] <= 0.0:
        raise OutOfRange("must_rise", name="values", value=len(grid))
    rows = np.asarray(costs, dtype=np.float64)
    place = rows.argmin(axis=-1)
    inner = np.clip(place, 1, len(grid) - 2)[..., np.newaxis]
    left, least, right = (
        np.take_along_axis(rows, inner + step, axis=-1)[..., 0] for step in (-1, 0, 1)
    )
    usable = (inner[..., 0] == place) & np.isfinite(left) & np.isfinite(right)
    with np.errstate(invalid="ignore"):
        bend = left - 2.0 * least + right
        off = 0.5 * (left - right)
    moved = np.zeros_like(least)
    np.divide(off, bend, out=moved, where=usable & (bend > 0.0))
    found = grid[place] + steps[0] * moved
    return np.where(np.isfinite(rows.min(axis=-1)), found, np.nan)
