"""What keeps a side belt running: tension, grip of its roller, and its place."""

import numpy as np

from academy.engine import guard
from academy.engine.si import (
    Kilogram,
    KilogramPerSecond,
    Metre,
    MetrePerSecond,
    MetrePerSquareSecond,
    Newton,
    Radian,
    Ratio,
    Second,
)


def drive_pull(tension: Newton, friction: Ratio, wrap_angle: Radian) -> Newton:
    """Greatest pull that a drive roller gives its belt without slipping.

    Twice the tension carries twice the load; a wet or muddy roller carries far less.

    Parameters
    ----------
    tension : [N] tension on the slack side
    friction : [1] friction between belt and drive roller
    wrap_angle : [rad] arc of the roller that the belt touches

    Returns
    -------
    [N] pull on belt and crop

    Raises
    ------
    OutOfRange : when tension is negative, or friction or angle is not above zero

    Notes
    -----
    ``F = T (exp(μα) − 1)``, the inverse of ``draper.slack_tension`` [memory].

    Examples
    --------
    >>> round(float(drive_pull(300.0, 0.5, 1.386294)), 2)
    300.0
    """
    guard.not_negative("tension", tension)
    guard.positive("friction", friction)
    guard.positive("wrap_angle", wrap_angle)
    pull: Newton = tension * np.expm1(friction * wrap_angle)
    return pull


def kept_tension(
    belt_age: Second, since_tension: Second, stretch: Ratio, stretch_time: Second
) -> Ratio:
    """Share of its tension that a belt still has, hours after it was set.

    A new belt stretches on its first days and wants setting every morning; an old one
    has done its stretching.

    Parameters
    ----------
    belt_age : [s] hours that the belt had run when its tension was set
    since_tension : [s] hours that it has run since
    stretch : [1] share of its tension that a new belt loses in the long run
    stretch_time : [s] running time after which a third of that loss is left to come

    Returns
    -------
    [1] tension now over tension as set

    Raises
    ------
    OutOfRange : when a time is negative, the loss is no fraction, or the stretching
        time is not above zero

    Notes
    -----
    ``1 − s exp(−a/τ) (1 − exp(−t/τ))`` [judgement]: only that new belts stretch and
    settle is known [common-practice].

    Examples
    --------
    >>> float(kept_tension(0.0, 0.0, 0.3, 72000.0))
    1.0
    >>> round(float(kept_tension(0.0, 72000.0, 0.3, 72000.0)), 3)
    0.81
    """
    guard.not_negative("belt_age", belt_age)
    guard.not_negative("since_tension", since_tension)
    guard.fraction("stretch", stretch)
    guard.positive("stretch_time", stretch_time)
    settled = np.exp(-belt_age / stretch_time)
    kept: Ratio = 1.0 + stretch * settled * np.expm1(-since_tension / stretch_time)
    return kept


def belt_drag(
    load: Kilogram,
    bed_friction: Ratio,
    gravity: MetrePerSquareSecond,
    scraping: Newton,
    flow: KilogramPerSecond,
    belt_speed: MetrePerSecond,
) -> Newton:
    """Pull that a belt needs to carry itself and its crop.

    A thick mat drags more, and every kilogram that falls on it must be set moving.

    Parameters
    ----------
    load : [kg] crop on the belt and the strand of belt beneath it
    bed_friction : [1] friction between belt and the bed it slides on
    gravity : [m/s^2] acceleration of free fall
    scraping : [N] rub of seals and turning of rollers, without crop
    flow : [kg/s] crop that falls on the belt
    belt_speed : [m/s] speed of the belt

    Returns
    -------
    [N] pull at the drive roller

    Raises
    ------
    OutOfRange : when an input is negative, or gravity is not above zero

    Notes
    -----
    ``F = μ m g + S + ṁ v_b``: sliding friction, scraping, and the momentum that the
    crop takes up [kinematics]. Friction and scraping are [judgement].

    Examples
    --------
    >>> belt_drag(20.0, 0.25, 10.0, 100.0, 5.0, 3.0)
    165.0
    """
    for name, value in (
        ("load", load),
        ("bed_friction", bed_friction),
        ("scraping", scraping),
        ("flow", flow),
        ("belt_speed", belt_speed),
    ):
        guard.not_negative(name, value)
    guard.positive("gravity", gravity)
    return bed_friction * load * gravity + scraping + flow * belt_speed


def slip_share(
    pull: Newton, drag: Newton, slip_steepness: Ratio, stall_slip: Ratio
) -> Ratio:
    """Share of its speed that a belt loses because its roller slips.

    Nothing while the roller holds; past that the belt crawls, and at last it stands.

    Parameters
    ----------
    pull : [N] greatest pull of the roller without slipping
    drag : [N] pull that belt and crop need at full speed
    slip_steepness : [1] power with which speed falls once the roller slips
    stall_slip : [1] share of lost speed at which the belt is taken to stand

    Returns
    -------
    [1] lost share of the roller's speed, at most the one at which it stands

    Raises
    ------
    OutOfRange : when a force is negative, the power is not above zero, or the share is
        not below 1

    Notes
    -----
    ``1 − min(1, P/F)^n``, at most ``s``: the simplest form that is 0 while the roller
    holds and rises as it fails [judgement]. A slower belt carries a deeper mat, so that
    it fails quickly.

    Examples
    --------
    >>> float(slip_share(100.0, 80.0, 2.0, 0.7))
    0.0
    >>> float(slip_share(50.0, 100.0, 1.0, 0.7))
    0.5
    """
    guard.not_negative("pull", pull)
    guard.not_negative("drag", drag)
    guard.positive("slip_steepness", slip_steepness)
    guard.below_one("stall_slip", stall_slip)
    needed = np.maximum(drag, np.finfo(float).tiny)
    held = pull / np.maximum(needed, pull)
    held = np.where(np.asarray(pull) >= drag, 1.0, held)
    lost: Ratio = np.minimum(1.0 - held**slip_steepness, stall_slip)
    return lost


def belt_walk(front_tension: Ratio, rear_tension: Ratio, walk_gain: Metre) -> Metre:
    """Distance by which a belt runs off its track, towards the rear.

    It runs to its slack edge: away from the bar when the front is tighter.

    Parameters
    ----------
    front_tension : [1] tension at the front end of the roller
    rear_tension : [1] tension at its rear end, in the same measure
    walk_gain : [m] distance when all the tension is at one end

    Returns
    -------
    [m] distance off the track; negative is towards the bar

    Raises
    ------
    OutOfRange : when a tension or the distance is negative

    Notes
    -----
    ``w (T_f − T_r)/(T_f + T_r)``, 0 for a belt without tension [judgement]: that a
    belt tracks only with equal tension at both ends is [memory].

    Examples
    --------
    >>> float(belt_walk(1.5, 0.5, 0.04))
    0.02
    """
    guard.not_negative("front_tension", front_tension)
    guard.not_negative("rear_tension", rear_tension)
    guard.not_negative("walk_gain", walk_gain)
    both = np.asarray(front_tension) + rear_tension
    walk: Metre = (
        walk_gain
        * (np.asarray(front_tension) - rear_tension)
        / np.where(both > 0, both, 1.0)
    )
    return walk


def leak_share(
    gap: Metre, free_gap: Metre, gap_scale: Metre, greatest_leak: Ratio
) -> Ratio:
    """Share of the crop that drops as grain between a belt and the bar.

    A close seal lets nothing through; a worn one, or a belt that has walked off, sows
    a stripe under the whole length of the bar.

    Parameters
    ----------
    gap : [m] gap between belt and bar
    free_gap : [m] gap up to which nothing falls through
    gap_scale : [m] further gap at which two thirds of the most falls through
    greatest_leak : [1] share that falls through a wide gap

    Returns
    -------
    [1] share of the crop

    Raises
    ------
    OutOfRange : when a gap is negative, the scale is not above zero, or the share is no
        fraction

    Notes
    -----
    ``L (1 − exp(−max(g − g₀, 0)/s))``: from 0 to a limit, rising [judgement]; that a
    worn seal drops grain is [memory].

    Examples
    --------
    >>> float(leak_share(0.003, 0.004, 0.01, 0.02))
    0.0
    >>> round(float(leak_share(0.014, 0.004, 0.01, 0.02)), 4)
    0.0126
    """
    guard.not_negative("gap", gap)
    guard.not_negative("free_gap", free_gap)
    guard.positive("gap_scale", gap_scale)
    guard.fraction("greatest_leak", greatest_leak)
    wider = np.maximum(np.asarray(gap) - free_gap, 0.0)
    share: Ratio = -greatest_leak * np.expm1(-wider / gap_scale) + 0.0
    return share
