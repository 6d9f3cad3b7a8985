"""A frame of three stiff sections on two hinges: what its shape leaves of the ground.

The gap under a stiff bar grows with the root of its width. Two hinges let the wings lie
on ground of their own, but a hinge also ties them to the middle: three sections leave
more than three bars of a third of the width would, each free of the others.
"""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from academy.engine import guard
from academy.engine.conditions import Build, Carried, Sensed
from academy.engine.si import Ratio

Matrix: TypeAlias = NDArray[np.float64]
_HALF = 0.5
# What a straight bar leaves of a random walk, of its width: laid by least squares,
# hung between its ends, and held level at the height of its middle.
_STRAIGHT = {"whole": 1.0 / 15.0, "ends": 1.0 / 6.0, "centre": 1.0 / 4.0}


def _nodes(hinge: float) -> tuple[Matrix, Matrix]:
    """Gauss points and weights on both sides of a hinge, exact for what is asked."""
    nodes, weights = np.polynomial.legendre.leggauss(5)
    pieces = ((0.0, hinge), (hinge, _HALF))
    at = [(high - low) / 2.0 * nodes + (high + low) / 2.0 for low, high in pieces]
    by = [(high - low) / 2.0 * weights for low, high in pieces]
    return np.concatenate(at), np.concatenate(by)


def _walk_left(shapes: Matrix, sums: Matrix, at: Matrix, by: Matrix) -> float:
    """Mean square of a walk from 0 to one half that shapes leave of it, times a half.

    ``sums`` are the integrals of the shapes from each point to the end: a walk is the
    sum of its steps, so its share in a shape is their sum weighted by these.
    """
    own = (shapes * by) @ shapes.T
    seen = (sums * by) @ sums.T
    taken = np.trace(np.linalg.pinv(own, rcond=1e-9) @ seen)
    return float(by @ at - taken)


def laid_share(wing_share: Ratio) -> Ratio:
    """Share of a walk's growth over the width that a bar on two hinges leaves.

    Three sections that lie on the ground by their own weight, as near as they can.

    Parameters
    ----------
    wing_share : [1] share of the width that each wing takes; 0 for a bar in one piece

    Returns
    -------
    [1] mean square gap, of what the ground's mean square grows by over the width

    Raises
    ------
    OutOfRange : when the share is negative or over one half

    Notes
    -----
    Least squares of a line with two corners on a random walk: its even and odd halves
    are walks of half the growth, laid on ``{1, (y − h)₊}`` and ``{y, (y − h)₊}``
    [kinematics]. In one piece ``1/15``, in two halves ``1/24``.

    Examples
    --------
    >>> round(1 / laid_share(0.0), 9), round(1 / laid_share(0.5), 9)
    (15.0, 24.0)
    """
    guard.not_negative("wing_share", wing_share)
    guard.at_least("middle_share", 1.0 - 2.0 * wing_share, 0.0)
    hinge = _HALF - float(wing_share)
    at, by = _nodes(hinge)
    beyond = np.maximum(at - hinge, 0.0)
    wing = (float(wing_share) ** 2 - beyond**2) / 2.0
    even = np.stack([np.ones_like(at), beyond]), np.stack([_HALF - at, wing])
    odd = np.stack([at, beyond]), np.stack([(_HALF**2 - at**2) / 2.0, wing])
    return sum(_walk_left(*each, at, by) for each in (even, odd))


def hung_share(wing_share: Ratio) -> Ratio:
    """Share of a walk's growth that a hinged bar leaves between sensors at its joints.

    Parameters
    ----------
    wing_share : [1] share of the width that each wing takes; 0 for a bar in one piece

    Returns
    -------
    [1] mean square gap, of what the ground's mean square grows by over the width

    Raises
    ------
    OutOfRange : when the share is negative or over one half

    Notes
    -----
    A walk tied down at both ends of a section leaves a sixth of its growth over it:
    ``(2s² + (1 − 2s)²)/6`` [kinematics].

    Examples
    --------
    >>> round(1 / hung_share(0.0), 9), round(1 / hung_share(0.25), 9)
    (6.0, 16.0)
    """
    guard.not_negative("wing_share", wing_share)
    middle = 1.0 - 2.0 * wing_share
    guard.at_least("middle_share", middle, 0.0)
    return (2.0 * wing_share * wing_share + middle * middle) / 6.0


def sections_alike(
    build: Build, sensed: Sensed, carried: Carried, wing_share: Ratio
) -> Ratio:
    """Rigid bars end to end that would leave the gap of this one.

    Parameters
    ----------
    build : what the bar is
    sensed : where its height sensors are
    carried : what carries it; wheels stand under all sections
    wing_share : [1] share of the width that each wing of a hinged bar takes

    Returns
    -------
    [1] their number, 1 for one bar whose sensors see all of the ground under it

    Raises
    ------
    OutOfRange : when the share is negative or over one half

    Notes
    -----
    ``1/15`` over the share that is left: the gap of a stiff bar squared grows with its
    width [kinematics]. A bar that moves on its frame lies on the ground by itself;
    sensors guide only what it hangs on.

    Examples
    --------
    >>> sections_alike("flexible", "whole", "ground", 0.3)
    1.0
    """
    lies = carried == "ground" and build != "rigid"
    seen: Sensed = "whole" if lies or carried == "wheels" else sensed
    if build != "hinged":
        return _STRAIGHT["whole"] / _STRAIGHT[seen]
    share = laid_share if seen == "whole" else hung_share
    return _STRAIGHT["whole"] / share(wing_share)
