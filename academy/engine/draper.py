"""The draper belts: how deep the mat lies, how far it flies, how tight the belt."""

import numpy as np

from academy.engine import guard
from academy.engine.si import (
    KilogramPerCubicMetre,
    KilogramPerSquareMetre,
    Metre,
    MetrePerSecond,
    MetrePerSquareSecond,
    Newton,
    Radian,
    Ratio,
)


def mat_depth(
    crop_mass: KilogramPerSquareMetre,
    ground_speed: MetrePerSecond,
    side_width: Metre,
    density: KilogramPerCubicMetre,
    belt_speed: MetrePerSecond,
    belt_depth: Metre,
) -> Metre:
    """Depth of the crop mat at the inner end of a side belt.

    Too deep and the feed drum chokes in slugs; too thin and stalks tumble one by one.

    Parameters
    ----------
    crop_mass : [kg/m^2] gathered crop, grain and straw, per field area
    ground_speed : [m/s] speed of the machine over the ground
    side_width : [m] width of the header that this belt carries away
    density : [kg/m^3] loose density of the mat
    belt_speed : [m/s] speed of the side belt
    belt_depth : [m] fore-and-aft depth of the belt

    Returns
    -------
    [m] depth of the mat at the hand-over

    Raises
    ------
    OutOfRange : when mass, ground speed or width is negative, or another input is not
        above zero

    Notes
    -----
    ``δ = q v w / (ρ v_b b)`` [mass-balance]. The loose density is [judgement].

    Examples
    --------
    >>> round(mat_depth(0.6, 2.0, 6.0, 15.0, 3.0, 1.0), 2)
    0.16
    """
    guard.not_negative("crop_mass", crop_mass)
    guard.not_negative("ground_speed", ground_speed)
    guard.not_negative("side_width", side_width)
    guard.positive("density", density)
    guard.positive("belt_speed", belt_speed)
    guard.positive("belt_depth", belt_depth)
    inflow = crop_mass * ground_speed * side_width
    return inflow / (density * belt_depth) / belt_speed


def belt_speed_for(
    crop_mass: KilogramPerSquareMetre,
    ground_speed: MetrePerSecond,
    side_width: Metre,
    density: KilogramPerCubicMetre,
    mat_depth: Metre,
    belt_depth: Metre,
) -> MetrePerSecond:
    """Belt speed that keeps the mat at a wanted depth.

    A quarter more ground speed needs a quarter more belt speed.

    Parameters
    ----------
    crop_mass : [kg/m^2] gathered crop, grain and straw, per field area
    ground_speed : [m/s] speed of the machine over the ground
    side_width : [m] width of the header that this belt carries away
    density : [kg/m^3] loose density of the mat
    mat_depth : [m] wanted depth of the mat at the hand-over
    belt_depth : [m] fore-and-aft depth of the belt

    Returns
    -------
    [m/s] speed of the side belt

    Raises
    ------
    OutOfRange : when mass, ground speed or width is negative, or another input is not
        above zero

    Notes
    -----
    ``v_b = q v w / (ρ δ b)``, the inverse of ``mat_depth`` [mass-balance].

    Examples
    --------
    >>> round(belt_speed_for(0.6, 2.0, 6.0, 15.0, 0.16, 1.0), 2)
    3.0
    """
    guard.not_negative("crop_mass", crop_mass)
    guard.not_negative("ground_speed", ground_speed)
    guard.not_negative("side_width", side_width)
    guard.positive("density", density)
    guard.positive("mat_depth", mat_depth)
    guard.positive("belt_depth", belt_depth)
    inflow = crop_mass * ground_speed * side_width
    return inflow / (density * belt_depth) / mat_depth


def belt_throw(
    belt_speed: MetrePerSecond, drop: Metre, gravity: MetrePerSquareSecond
) -> Metre:
    """Distance that crop flies beyond the end of its belt while it falls.

    Crop thrown past the middle of the opening piles up on the opposite belt.

    Parameters
    ----------
    belt_speed : [m/s] speed of the side belt
    drop : [m] fall from the belt to the centre belt
    gravity : [m/s^2] acceleration of free fall

    Returns
    -------
    [m] throw beyond the belt's end

    Raises
    ------
    OutOfRange : when speed or drop is negative, or gravity is not above zero

    Notes
    -----
    ``v_b √(2Δz/g)``, without air drag [kinematics].

    Examples
    --------
    >>> round(float(belt_throw(3.0, 0.15, 9.80665)), 3)
    0.525
    """
    guard.not_negative("belt_speed", belt_speed)
    guard.not_negative("drop", drop)
    guard.positive("gravity", gravity)
    fall_time = np.sqrt(2.0 * drop / gravity)
    throw: Metre = belt_speed * fall_time
    return throw


def crossing_speed(
    opening: Metre, drop: Metre, gravity: MetrePerSquareSecond
) -> MetrePerSecond:
    """Belt speed above which crop from one side flies past the middle of the opening.

    Matters in part-width passes and point rows, where only one side brings crop.

    Parameters
    ----------
    opening : [m] width of the opening between the side belts
    drop : [m] fall from the belt to the centre belt
    gravity : [m/s^2] acceleration of free fall

    Returns
    -------
    [m/s] greatest belt speed without crossing over

    Raises
    ------
    OutOfRange : when the opening is negative, or another input is not above zero

    Notes
    -----
    ``(w/2) √(g/(2Δz))``: the throw equals half the opening [kinematics].

    Examples
    --------
    >>> round(float(crossing_speed(1.4, 0.15, 9.80665)), 1)
    4.0
    """
    guard.not_negative("opening", opening)
    guard.positive("drop", drop)
    guard.positive("gravity", gravity)
    speed: MetrePerSecond = opening / 2.0 * np.sqrt(gravity / (2.0 * drop))
    return speed


def laying_angle(belt_speed: MetrePerSecond, ground_speed: MetrePerSecond) -> Radian:
    """Angle at which stalks come to lie on a side belt, from the line of travel.

    Stalks lying across feed heads or butts first; at 45 degrees they feed unevenly.

    Parameters
    ----------
    belt_speed : [m/s] speed of the side belt
    ground_speed : [m/s] speed of the machine over the ground

    Returns
    -------
    [rad] angle between stalk and line of travel

    Raises
    ------
    OutOfRange : when the belt speed is negative, or the ground speed not above zero

    Notes
    -----
    ``atan(v_b/v)``: the butt is carried off while the head still stands [kinematics].

    Examples
    --------
    >>> round(float(laying_angle(2.0, 2.0)), 4)
    0.7854
    """
    guard.not_negative("belt_speed", belt_speed)
    guard.positive("ground_speed", ground_speed)
    angle: Radian = np.arctan2(belt_speed, ground_speed)
    return angle


def slack_tension(drag: Newton, friction: Ratio, wrap_angle: Radian) -> Newton:
    """Least tension on the slack side at which the drive roller does not slip.

    A belt looser than this stalls under load; a much tighter one wears its rollers.

    Parameters
    ----------
    drag : [N] pull the roller must give to move belt and crop
    friction : [1] friction between belt and drive roller
    wrap_angle : [rad] arc of the roller that the belt touches

    Returns
    -------
    [N] slack-side tension

    Raises
    ------
    OutOfRange : when drag is negative, or friction or angle is not above zero

    Notes
    -----
    ``T ≥ F / (exp(μα) − 1)``, from the capstan inequality [memory].

    Examples
    --------
    >>> round(float(slack_tension(300.0, 0.5, 1.386294)), 2)
    300.0
    """
    guard.not_negative("drag", drag)
    guard.positive("friction", friction)
    guard.positive("wrap_angle", wrap_angle)
    tension: Newton = drag / np.expm1(friction * wrap_angle)
    return tension
