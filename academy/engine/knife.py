"""The knife: how fast it runs, how far the machine moves between its strokes."""

import math

import numpy as np

from academy.engine import guard
from academy.engine.si import Metre, MetrePerSecond, PerSecond, Ratio


def mean_knife_speed(stroke: Metre, stroke_rate: PerSecond) -> MetrePerSecond:
    """Mean speed of the knife along its bar.

    Too slow and stems are pushed over instead of cut.

    Parameters
    ----------
    stroke : [m] travel of the knife from one end to the other
    stroke_rate : [1/s] strokes a second, two to each turn of the drive

    Returns
    -------
    [m/s] mean knife speed

    Raises
    ------
    OutOfRange : when stroke or rate is not above zero

    Notes
    -----
    ``S n`` [kinematics].

    Examples
    --------
    >>> round(mean_knife_speed(0.0762, 20.0), 3)
    1.524
    """
    guard.positive("stroke", stroke)
    guard.positive("stroke_rate", stroke_rate)
    return stroke * stroke_rate


def peak_knife_speed(stroke: Metre, stroke_rate: PerSecond) -> MetrePerSecond:
    """Greatest speed of the knife, in the middle of its stroke.

    The speed at which most stems meet the edge.

    Parameters
    ----------
    stroke : [m] travel of the knife from one end to the other
    stroke_rate : [1/s] strokes a second, two to each turn of the drive

    Returns
    -------
    [m/s] knife speed at mid-stroke

    Raises
    ------
    OutOfRange : when stroke or rate is not above zero

    Notes
    -----
    ``π/2`` times the mean speed, for harmonic motion [kinematics]; a real drive comes
    close to it.

    Examples
    --------
    >>> round(peak_knife_speed(0.0762, 20.0), 3)
    2.394
    """
    return math.pi / 2.0 * mean_knife_speed(stroke, stroke_rate)


def advance_per_stroke(ground_speed: MetrePerSecond, stroke_rate: PerSecond) -> Metre:
    """Ground the machine covers during one stroke of the knife.

    When it outgrows the edge of a section, stems are bent forward in bunches before
    they are cut, and the stubble turns uneven.

    Parameters
    ----------
    ground_speed : [m/s] speed of the machine over the ground
    stroke_rate : [1/s] strokes a second, two to each turn of the drive

    Returns
    -------
    [m] advance per stroke

    Raises
    ------
    OutOfRange : when speed is negative, or the rate is not above zero

    Notes
    -----
    ``a = v/n`` [kinematics].

    Examples
    --------
    >>> round(advance_per_stroke(2.0, 20.0), 3)
    0.1
    """
    guard.not_negative("ground_speed", ground_speed)
    guard.positive("stroke_rate", stroke_rate)
    return ground_speed / stroke_rate


def stubble_length(cut_height: Metre, deflection: Metre) -> Metre:
    """Length of the stubble of a stem that was bent before it was cut.

    A bent stem is cut farther from its root: stubble stands taller than the knife ran.

    Parameters
    ----------
    cut_height : [m] height of the knife over the ground
    deflection : [m] how far the stem was pushed aside or forward at the knife

    Returns
    -------
    [m] length of the stubble, straightened

    Raises
    ------
    OutOfRange : when height or deflection is negative

    Notes
    -----
    ``√(h² + q²)``, the straight-stem bound: a stem that bows is a little longer
    [kinematics].

    Examples
    --------
    >>> round(float(stubble_length(0.05, 0.12)), 3)
    0.13
    """
    guard.not_negative("cut_height", cut_height)
    guard.not_negative("deflection", deflection)
    length: Metre = np.hypot(cut_height, deflection)
    return length


def knife_share(bunched_share: Ratio, coefficient: Ratio) -> Ratio:
    """Share of the crop lost because stems were bunched before the cut.

    Bunched stems are jerked and cut at odd heights; pods fall in front of the bar.

    Parameters
    ----------
    bunched_share : [1] share of stems bent forward to the next stroke
    coefficient : [1] share of the crop on such stems that is lost

    Returns
    -------
    [1] share of the standing crop lost at the knife

    Raises
    ------
    OutOfRange : when an input is no fraction

    Notes
    -----
    ``c f``, the simplest form with the right direction [judgement]. Trials disagree on
    how loss changes with ground speed; only the mechanism is to be trusted.

    Examples
    --------
    >>> knife_share(0.5, 0.03)
    0.015
    """
    guard.fraction("bunched_share", bunched_share)
    guard.fraction("coefficient", coefficient)
    return coefficient * bunched_share
