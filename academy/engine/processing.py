"""Behind the header: how loss rises as straw and chaff crowd the machine."""

import math

import numpy as np

from academy.engine import guard
from academy.engine.si import (
    KilogramPerSecond,
    KilogramPerSquareMetre,
    Metre,
    MetrePerSecond,
    RadianPerSecond,
    Ratio,
)

LEVEL_AT_1 = 0.01
LEVEL_AT_3 = 0.03


def mog_feedrate(
    ground_speed: MetrePerSecond,
    width: Metre,
    crop_yield: KilogramPerSquareMetre,
    mog_ratio: Ratio,
) -> KilogramPerSecond:
    """Material other than grain that enters the machine each second while it cuts.

    Straw and chaff, not grain, fill the separator; speed times width feeds them in.

    Parameters
    ----------
    ground_speed : [m/s] speed of the machine over the ground
    width : [m] width of crop cut
    crop_yield : [kg/m^2] grain per field area
    mog_ratio : [1] mass of material other than grain over mass of grain

    Returns
    -------
    [kg/s] feedrate of material other than grain

    Raises
    ------
    OutOfRange : when an input is negative or no number

    Notes
    -----
    ``v w Y r`` [mass-balance]: the rate while cutting, so field efficiency has no place
    in it [iso-6689].

    Examples
    --------
    >>> mog_feedrate(2.0, 10.0, 0.5, 1.5)
    15.0
    """
    guard.not_negative("ground_speed", ground_speed)
    guard.not_negative("width", width)
    guard.not_negative("crop_yield", crop_yield)
    guard.not_negative("mog_ratio", mog_ratio)
    return ground_speed * width * (crop_yield * mog_ratio)


def straw_taken(
    mog_ratio: Ratio, cut_height: Metre, crop_height: Metre, straw_left: Ratio
) -> Ratio:
    """Straw and chaff per mass of grain that a cut at some height takes in.

    Cut higher and the machine swallows less straw, so it can go faster for the same
    loss behind it; cut too high and heads stay behind.

    Parameters
    ----------
    mog_ratio : [1] material other than grain over grain of the whole plant
    cut_height : [m] height of the cut
    crop_height : [m] top of the crop as it stands
    straw_left : [1] share of that material that a cut at the very top would leave

    Returns
    -------
    [1] material other than grain over grain that enters the machine

    Raises
    ------
    OutOfRange : when a ratio or the cut height is negative, the crop height is not
        above zero, or the share is no fraction

    Notes
    -----
    ``r (1 − s min(h/L, 1))``: straw spread evenly along the stem [judgement]; that
    straw per grain falls steeply as the cut rises is published [kim-gregory-2015].

    Examples
    --------
    >>> float(straw_taken(1.2, 0.25, 1.0, 0.8))
    0.96
    """
    guard.not_negative("mog_ratio", mog_ratio)
    guard.not_negative("cut_height", cut_height)
    guard.positive("crop_height", crop_height)
    guard.fraction("straw_left", straw_left)
    taken: Ratio = mog_ratio * (
        1.0 - straw_left * np.minimum(cut_height / crop_height, 1.0)
    )
    return taken


def processing_share(
    mog_feedrate: KilogramPerSecond,
    feedrate_at_1: KilogramPerSecond,
    feedrate_at_3: KilogramPerSecond,
) -> Ratio:
    """Share of the grain that leaves with straw and chaff.

    Nearly flat at low feedrate, then climbing steeply: the bend every operator knows.

    Parameters
    ----------
    mog_feedrate : [kg/s] feedrate of material other than grain
    feedrate_at_1 : [kg/s] feedrate at which one per cent of the grain is lost
    feedrate_at_3 : [kg/s] feedrate at which three per cent of the grain is lost

    Returns
    -------
    [1] share of the grain that entered

    Raises
    ------
    OutOfRange : when the feedrate is negative, a reference is not above zero, or the
        second reference is not above the first

    Notes
    -----
    ``L₁ exp[b (q − q₁)]``, ``b = ln 3/(q₃ − q₁)``: an illustrative curve through the
    two stated points [judgement]; trials confirm that straw feedrate explains loss
    best [nyborg-1967]. A share cannot pass 1 and stops there.

    Examples
    --------
    >>> round(float(processing_share(4.0, 4.0, 6.0)), 4)
    0.01
    >>> round(float(processing_share(6.0, 4.0, 6.0)), 4)
    0.03
    """
    guard.not_negative("mog_feedrate", mog_feedrate)
    guard.positive("feedrate_at_1", feedrate_at_1)
    guard.positive("feedrate_span", feedrate_at_3 - feedrate_at_1)
    slope = math.log(LEVEL_AT_3 / LEVEL_AT_1) / (feedrate_at_3 - feedrate_at_1)
    climb = slope * (mog_feedrate - feedrate_at_1)
    share: Ratio = LEVEL_AT_1 * np.exp(np.minimum(climb, -math.log(LEVEL_AT_1)))
    return share


def tip_speed(diameter: Metre, turn_rate: RadianPerSecond) -> MetrePerSecond:
    """Speed of a turning part's rim.

    What hits the grain in the cylinder; damage rises with it, unthreshed heads fall.

    Parameters
    ----------
    diameter : [m] diameter over the rubbing or beating parts
    turn_rate : [rad/s] turning rate

    Returns
    -------
    [m/s] rim speed

    Raises
    ------
    OutOfRange : when the diameter is not above zero, or the rate is negative

    Notes
    -----
    ``ω D/2`` [kinematics], checked against the trial inputs of [harrison-1975].

    Examples
    --------
    >>> round(tip_speed(0.5, 100.0), 1)
    25.0
    """
    guard.positive("diameter", diameter)
    guard.not_negative("turn_rate", turn_rate)
    return turn_rate * diameter / 2.0
