"""The feed drum at work: what it clears, when its fingers let go, what wraps."""

import numpy as np

from academy.engine import guard
from academy.engine.si import (
    KilogramPerCubicMetre,
    KilogramPerSecond,
    Metre,
    MetrePerSecond,
    RadianPerSecond,
    Ratio,
)


def tip_speed(diameter: Metre, drum_rate: RadianPerSecond) -> MetrePerSecond:
    """Speed of the drum's surface.

    The pace at which the drum can take the mat away.

    Parameters
    ----------
    diameter : [m] diameter of the drum
    drum_rate : [rad/s] turning of the drum

    Returns
    -------
    [m/s] speed of its surface

    Raises
    ------
    OutOfRange : when an input is not above zero

    Notes
    -----
    ``ω d/2`` [kinematics].

    Examples
    --------
    >>> tip_speed(0.6, 16.0)
    4.8
    """
    guard.positive("diameter", diameter)
    guard.positive("drum_rate", drum_rate)
    return diameter / 2.0 * drum_rate


def clearing_speed(
    flow: KilogramPerSecond,
    density: KilogramPerCubicMetre,
    compression: Ratio,
    feed_gap: Metre,
    opening: Metre,
    grip: Ratio,
) -> MetrePerSecond:
    """Surface speed at which the drum just clears the mass that is brought to it.

    Start slow. Only when more mass comes than the drum clears does it need to turn
    faster.

    Parameters
    ----------
    flow : [kg/s] crop that both belts hand over
    density : [kg/m^3] loose density of the mat
    compression : [1] loose depth over depth under the drum
    feed_gap : [m] gap between drum and floor
    opening : [m] width over which the drum feeds
    grip : [1] speed of the mat under the drum over the drum's own

    Returns
    -------
    [m/s] surface speed

    Raises
    ------
    OutOfRange : when the flow is negative, or another input is not above zero

    Notes
    -----
    ``ṁ/(ρ κ g w η)``: what comes in goes out through the gap [mass-balance]. Grip,
    density and compression are [judgement].

    Examples
    --------
    >>> clearing_speed(9.0, 15.0, 4.0, 0.05, 1.5, 0.5)
    4.0
    """
    guard.not_negative("flow", flow)
    guard.positive("density", density)
    guard.positive("compression", compression)
    guard.positive("feed_gap", feed_gap)
    guard.positive("opening", opening)
    guard.positive("grip", grip)
    passage = density * compression * feed_gap * opening
    return flow / (passage * grip)


def fling_tendency(
    drum_speed: MetrePerSecond, needed_speed: MetrePerSecond, toughness: Ratio
) -> Ratio:
    """How much a drum that turns faster than its crop needs flings and threshes it.

    Light, brittle crop is knocked about first. Only the direction is known.

    Parameters
    ----------
    drum_speed : [m/s] surface speed of the drum
    needed_speed : [m/s] surface speed that is needed, or the slowest there is
    toughness : [1] how tough the stems are

    Returns
    -------
    [1] from 0, none, upwards

    Raises
    ------
    OutOfRange : when a speed is not above zero, or the toughness no fraction

    Notes
    -----
    ``max(u/u₀ − 1, 0) (1 − t)``: none at the speed needed, more above it, least in
    tough crop [judgement].

    Examples
    --------
    >>> float(fling_tendency(6.0, 4.0, 0.5))
    0.25
    """
    guard.positive("drum_speed", drum_speed)
    guard.positive("needed_speed", needed_speed)
    guard.fraction("toughness", toughness)
    over = np.maximum(np.asarray(drum_speed) / needed_speed - 1.0, 0.0)
    fling: Ratio = over * (1.0 - toughness)
    return fling


def needed_timing(
    toughness: Ratio,
    stem_length: Metre,
    middle_toughness: Ratio,
    middle_stem: Metre,
    timing_by_toughness: Ratio,
    timing_by_stem: Ratio,
) -> Ratio:
    """Finger timing that a crop asks for, from −1, withdrawn soonest, to 1, latest.

    Tough, damp, long stems are held later in the turn; brittle, short crop is let go
    sooner. The middle is the first setting.

    Parameters
    ----------
    toughness : [1] how tough the stems are
    stem_length : [m] length of the cut stem
    middle_toughness : [1] toughness that the middle setting suits
    middle_stem : [m] stem length that the middle setting suits
    timing_by_toughness : [1] change of the timing over all of the toughness
    timing_by_stem : [1] change of the timing for a stem twice as long

    Returns
    -------
    [1] timing, within −1 and 1

    Raises
    ------
    OutOfRange : when the toughness is no fraction, a length or a change is negative, or
        the middle length is not above zero

    Notes
    -----
    ``a (t − t₀) + b (L/L₀ − 1)`` between the ends of the setting [judgement]; the
    directions are [common-practice].

    Examples
    --------
    >>> float(needed_timing(0.75, 0.9, 0.25, 0.9, 1.0, 0.5))
    0.5
    """
    guard.fraction("toughness", toughness)
    guard.not_negative("stem_length", stem_length)
    guard.fraction("middle_toughness", middle_toughness)
    guard.positive("middle_stem", middle_stem)
    guard.not_negative("timing_by_toughness", timing_by_toughness)
    guard.not_negative("timing_by_stem", timing_by_stem)
    tough = timing_by_toughness * (toughness - middle_toughness)
    long = timing_by_stem * (stem_length / middle_stem - 1.0)
    timing: Ratio = np.clip(tough + long, -1.0, 1.0)
    return timing


def wrap_risk(
    stem_moisture: Ratio,
    wrap_turns: Ratio,
    weeds: Ratio,
    wrap_level: Ratio,
    wrap_moisture: Ratio,
    wrap_by_moisture: Ratio,
    wrap_by_turns: Ratio,
    wrap_by_weeds: Ratio,
) -> Ratio:
    """How ready stems are to wrap round a turning part.

    Damp stems and viny weeds wrap; a stem shorter than one turn cannot hold on.

    Parameters
    ----------
    stem_moisture : [1] moisture of the stems, wet basis
    wrap_turns : [1] turns of the part that a stem can go round
    weeds : [1] share of viny weeds in the mat
    wrap_level : [1] level of the sum for stems of one turn at the reference moisture
    wrap_moisture : [1] reference moisture of the stems
    wrap_by_moisture : [1] change of the sum for all of the moisture
    wrap_by_turns : [1] change of the sum for one more turn
    wrap_by_weeds : [1] change of the sum from no weeds to nothing else

    Returns
    -------
    [1] risk, from 0 to 1

    Raises
    ------
    OutOfRange : when a share is no fraction, turns or changes are negative, or the
        level is no number

    Notes
    -----
    ``1/(1 + exp(−y))``, ``y = y₀ + a (M − M₀) + b (n − 1) + c weeds`` [judgement]: its
    size is ours; only that a stem must go round once is mechanics.

    Examples
    --------
    >>> float(wrap_risk(0.2, 1.0, 0.0, 0.0, 0.2, 12.0, 2.0, 1.5))
    0.5
    """
    guard.fraction("stem_moisture", stem_moisture)
    guard.not_negative("wrap_turns", wrap_turns)
    guard.fraction("weeds", weeds)
    guard.finite("wrap_level", wrap_level)
    guard.fraction("wrap_moisture", wrap_moisture)
    for name, value in (
        ("wrap_by_moisture", wrap_by_moisture),
        ("wrap_by_turns", wrap_by_turns),
        ("wrap_by_weeds", wrap_by_weeds),
    ):
        guard.not_negative(name, value)
    damp = wrap_by_moisture * (stem_moisture - wrap_moisture)
    long = wrap_by_turns * (wrap_turns - 1.0)
    level = wrap_level + damp + long + wrap_by_weeds * weeds
    risk: Ratio = 1.0 / (1.0 + np.exp(-level))
    return risk


def clutch_load(slugging_index: Ratio, plug_limit: Ratio, load_at_plug: Ratio) -> Ratio:
    """Load on the drum's clutch, over the load at which it should slip.

    A plug drives it past 1, and the clutch saves the driveline. One set too loose lets
    go in crop that would have passed.

    Parameters
    ----------
    slugging_index : [1] depth of the squeezed mat over the gap
    plug_limit : [1] slugging index at which feeding stops
    load_at_plug : [1] load at that index over the load at which the clutch should slip

    Returns
    -------
    [1] load over the right limit

    Raises
    ------
    OutOfRange : when the index is negative, or another input is not above zero

    Notes
    -----
    ``k s/s₁``: the load in proportion to the squeezed mat [judgement].

    Examples
    --------
    >>> clutch_load(0.75, 1.5, 1.0)
    0.5
    """
    guard.not_negative("slugging_index", slugging_index)
    guard.positive("plug_limit", plug_limit)
    guard.positive("load_at_plug", load_at_plug)
    return load_at_plug * slugging_index / plug_limit
