"""Places across the width, and what is the same at all of them.

What changes over the width lies along the last axis, from the left end to the right as
one sees it from the seat.
"""

import numpy as np
from numpy.typing import NDArray

from academy.engine import guard
from academy.engine.si import Number, Ratio


def places(strips: int) -> Ratio:
    """Middles of equal strips across the width, from the left end to the right.

    Parameters
    ----------
    strips : number of strips

    Returns
    -------
    [1] distance from the middle over the width, between −½ and ½

    Raises
    ------
    OutOfRange : when there is no strip

    Notes
    -----
    ``(k + ½)/n − ½`` for strip ``k`` of ``n`` [kinematics].

    Examples
    --------
    >>> places(4).tolist()
    [-0.375, -0.125, 0.125, 0.375]
    """
    guard.at_least("strips", strips, 1)
    middles: NDArray[np.float64] = (np.arange(strips) + 0.5) / strips - 0.5
    return middles


def inside(at: Ratio) -> None:
    """Refuse a place that lies beyond the ends."""
    guard.finite("place", at)
    guard.fraction("place", np.abs(at) * 2.0)


def spread_out(value: Number) -> NDArray[np.float64]:
    """A number, or an array, with one more axis at its end for the places."""
    return np.asarray(value, dtype=np.float64)[..., np.newaxis]
