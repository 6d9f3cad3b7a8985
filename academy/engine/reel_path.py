"""The loops that the tine tips draw over the ground."""

import math

import numpy as np

from academy.engine import guard
from academy.engine.si import Count, Metre, Radian, Ratio


def _loop(reel_index: Ratio) -> Ratio:
    index: Ratio = np.maximum(reel_index, 1.0)
    loop: Ratio = np.sqrt(index * index - 1.0) - np.arccos(1.0 / index)
    return loop


def loop_width(tip_radius: Metre, reel_index: Ratio) -> Metre:
    """Widest fore-and-aft opening of the loop that a tine tip draws over the ground.

    Crop inside the loop is drawn rearward to the knife.

    Parameters
    ----------
    tip_radius : [m] distance from the reel's axle to the tine tips
    reel_index : [1] ratio of tip speed to ground speed

    Returns
    -------
    [m] width of the loop along the ground

    Raises
    ------
    OutOfRange : when the radius is not above zero, or the index is negative

    Notes
    -----
    ``b = (2R/λ) [√(λ² − 1) − arccos(1/λ)]`` [kinematics]; at and below index 1 the
    path has no loop and the width is 0.

    Examples
    --------
    >>> round(float(loop_width(1.0, 2.0)), 4)
    0.6849
    """
    guard.positive("tip_radius", tip_radius)
    guard.not_negative("reel_index", reel_index)
    width: Metre = 2.0 * tip_radius / np.maximum(reel_index, 1.0) * _loop(reel_index)
    return width


def bat_pitch(tip_radius: Metre, reel_index: Ratio, bats: Count) -> Metre:
    """Ground covered between one bat and the next.

    Fewer bats or a slower reel leave longer stretches of crop without a bat.

    Parameters
    ----------
    tip_radius : [m] distance from the reel's axle to the tine tips
    reel_index : [1] ratio of tip speed to ground speed
    bats : [1] number of bats on the reel

    Returns
    -------
    [m] ground travelled between two bats

    Raises
    ------
    OutOfRange : when radius, index or number of bats is not above zero

    Notes
    -----
    ``s = 2πR/(λZ)`` [kinematics].

    Examples
    --------
    >>> round(bat_pitch(0.5, 1.25, 6), 4)
    0.4189
    """
    guard.positive("tip_radius", tip_radius)
    guard.positive("reel_index", reel_index)
    guard.positive("bats", bats)
    return 2.0 * math.pi * tip_radius / (reel_index * bats)


def loop_cover(reel_index: Ratio, bats: Count) -> Ratio:
    """Share of the ground that the loops of successive bats cover.

    At 1 the loops just touch: every plant is drawn rearward by some bat.

    Parameters
    ----------
    reel_index : [1] ratio of tip speed to ground speed
    bats : [1] number of bats on the reel

    Returns
    -------
    [1] loop width over bat pitch; above 1 the loops overlap

    Raises
    ------
    OutOfRange : when the index is negative, or the number of bats is not above zero

    Notes
    -----
    ``b/s = (Z/π) [√(λ² − 1) − arccos(1/λ)]`` [kinematics]; 0 at and below index 1.

    Examples
    --------
    >>> round(float(loop_cover(1.5, 6)), 3)
    0.529
    """
    guard.not_negative("reel_index", reel_index)
    guard.positive("bats", bats)
    return bats / math.pi * _loop(reel_index)


def bat_path(
    tip_radius: Metre, axle_height: Metre, reel_index: Ratio, angle: Radian
) -> tuple[Metre, Metre]:
    """Place of a tine tip over the ground, ahead and up.

    The curve behind the picture of the reel: a looped path above index 1, a wave
    without loops below it.

    Parameters
    ----------
    tip_radius : [m] distance from the reel's axle to the tine tips
    axle_height : [m] height of the axle over the chosen datum
    reel_index : [1] ratio of tip speed to ground speed
    angle : [rad] turn of the bat, from the forward horizontal downwards

    Returns
    -------
    [m] distance ahead of the axle's place at angle zero
    [m] height over the datum

    Raises
    ------
    OutOfRange : when radius or index is not above zero, or another input is no number

    Notes
    -----
    ``x = R (θ/λ + cos θ)``, ``z = H − R sin θ`` [kinematics].

    Examples
    --------
    >>> ahead, up = bat_path(0.5, 1.2, 1.25, 0.0)
    >>> float(ahead), float(up)
    (0.5, 1.2)
    """
    guard.positive("tip_radius", tip_radius)
    guard.finite("axle_height", axle_height)
    guard.positive("reel_index", reel_index)
    guard.finite("angle", angle)
    ahead: Metre = tip_radius * (angle / reel_index + np.cos(angle))
    up: Metre = axle_height - tip_radius * np.sin(angle)
    return ahead, up
