"""May a question with options be asked? Only when the key stands against the doubt."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from academy.engine import header, search
from academy.engine.coefficients import Coefficients
from academy.engine.header import Field, Machine, Settings

MOST_FLIPS = 6  # of 256 draws: the 95 % lower bound of agreement stays at 0.95
FLOOR_SHARE = 0.001  # of the crop's value: less than this is not worth a mark
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class OptionsVerdict:
    """The least costly option, how often the draws say another, and by how much.

    ``costs`` with the best guess of every coefficient [money/m2], infinite where a hard
    limit is broken; ``margin`` is the 5 % quantile of the least cost of the others over
    the key's, at most the whole worth of the crop.
    """

    key: int
    costs: tuple[float, ...]
    flips: int
    margin: float
    r1: float
    accepted: bool


def _cost(
    field: Field, machine: Machine, settings: Settings, values: Coefficients
) -> Floats:
    return np.ravel(search.safe_cost(header.run(field, machine, settings, values)))


def judge_options(
    field: Field,
    options: Sequence[tuple[Machine, Settings]],
    values: Coefficients,
    draws: Coefficients,
) -> OptionsVerdict:
    """Which option costs least, and whether that holds over the draws.

    Accepted when another option beats the key in at most six draws, and in nineteen of
    twenty the key is better by at least a thousandth of the crop's value. A change that
    breaks a hard limit is never the key. (A step of a control, which bounds ``r1`` of a
    set-up, has no place here: the options are as they are.)
    """
    costs = [float(_cost(field, *option, values)[0]) for option in options]
    key = int(np.argmin(costs))
    size = np.size(draws.pod_share)
    drawn = np.stack(
        [np.broadcast_to(_cost(field, *option, draws), (size,)) for option in options]
    )
    others = np.delete(drawn, key, axis=0).min(axis=0)
    with np.errstate(invalid="ignore"):
        ahead = np.where(np.isinf(drawn[key]), -np.inf, others - drawn[key])
    flips = int(np.count_nonzero(ahead < 0))
    worth = float(field.crop_yield * field.grain_price)
    margin = min(float(np.sort(ahead)[int(0.05 * size)]), worth)
    r1 = FLOOR_SHARE * worth
    fair = bool(flips <= MOST_FLIPS and margin >= r1 and np.isfinite(costs[key]))
    return OptionsVerdict(key, tuple(costs), flips, margin, r1, fair)
