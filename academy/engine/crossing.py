"""Crossing over: one side's crop flies past the middle onto the opposite belt."""

import numpy as np

from academy.engine import guard
from academy.engine.si import (
    KilogramPerSecond,
    Metre,
    MetrePerSecond,
    MetrePerSquareSecond,
    Ratio,
)


def unopposed_share(
    flow: KilogramPerSecond,
    speed: MetrePerSecond,
    other_flow: KilogramPerSecond,
    other_speed: MetrePerSecond,
) -> Ratio:
    """Share of one side's stream that no stream from the other side stops.

    Full width, the two streams run into each other before the drum. In a point row one
    of them comes alone.

    Parameters
    ----------
    flow : [kg/s] crop that this side hands over
    speed : [m/s] speed of its belt
    other_flow : [kg/s] crop that the other side hands over
    other_speed : [m/s] speed of the other belt

    Returns
    -------
    [1] share, from 0 against an equal stream to 1 against none

    Raises
    ------
    OutOfRange : when an input is negative

    Notes
    -----
    ``max(1 − ṁ₂v₂/(ṁ₁v₁), 0)``: streams stop each other as far as their momenta are
    equal [kinematics]. Without crop 0.

    Examples
    --------
    >>> float(unopposed_share(8.0, 3.0, 2.0, 3.0))
    0.75
    """
    guard.not_negative("flow", flow)
    guard.not_negative("speed", speed)
    guard.not_negative("other_flow", other_flow)
    guard.not_negative("other_speed", other_speed)
    own = np.asarray(flow) * speed
    left = np.maximum(own - other_flow * other_speed, 0.0)
    share: Ratio = left / np.where(own > 0, own, 1.0)
    return share


def crossing_share(
    belt_speed: MetrePerSecond,
    drop: Metre,
    mat_depth: Metre,
    opening: Metre,
    gravity: MetrePerSquareSecond,
) -> Ratio:
    """Share of a free stream that flies past the middle of the opening.

    The top of the mat falls longest and flies farthest: it crosses first.

    Parameters
    ----------
    belt_speed : [m/s] speed of the side belt
    drop : [m] fall from the belt to the centre belt
    mat_depth : [m] depth of the mat as it leaves the belt
    opening : [m] width of the opening between the side belts
    gravity : [m/s^2] acceleration of free fall

    Returns
    -------
    [1] share of the mat's layers that fly past the middle

    Raises
    ------
    OutOfRange : when speed, drop or depth is negative, or another input is not above
        zero

    Notes
    -----
    A layer at height ``z`` of the mat falls ``Δz + z`` and flies
    ``v_b √(2(Δz + z)/g)``; it passes half the opening ``w`` when
    ``Δz + z > g w²/(8 v_b²)``, without air drag [kinematics].

    Examples
    --------
    >>> float(crossing_share(2.5, 0.125, 0.25, 1.0, 10.0))
    0.7
    """
    guard.not_negative("belt_speed", belt_speed)
    guard.not_negative("drop", drop)
    guard.not_negative("mat_depth", mat_depth)
    guard.positive("opening", opening)
    guard.positive("gravity", gravity)
    square = 8.0 * np.asarray(belt_speed, dtype=float) ** 2
    moving = square > 0
    fall = gravity * opening * opening / np.where(moving, square, 1.0)
    past = np.asarray(drop) + mat_depth - fall
    depth = np.asarray(mat_depth, dtype=float)
    layered = np.clip(past, 0.0, depth) / np.where(depth > 0, depth, 1.0)
    share: Ratio = np.where(moving & (depth > 0), layered, 0.0)
    return share
