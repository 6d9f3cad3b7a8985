"""What drives the knife: work of the stems, friction along the bar, turning masses."""

import numpy as np

from academy.engine import guard
from academy.engine.knife import mean_knife_speed, peak_knife_speed
from academy.engine.si import (
    Joule,
    KilogramPerMetre,
    Metre,
    MetrePerSecond,
    NewtonPerMetre,
    PerSecond,
    PerSquareMetre,
    Ratio,
    Watt,
)


def stem_work(
    thickness: Metre, reference_work: Joule, reference: Metre, exponent: Ratio
) -> Joule:
    """Work to cut one stem with a sharp knife against a ledger.

    Small against what the knife takes to slide, until stems are thick and many.

    Parameters
    ----------
    thickness : [m] thickness of the stem at the cut
    reference_work : [J] work for a stem of the reference thickness
    reference : [m] reference thickness
    exponent : [1] how steeply the work rises with thickness

    Returns
    -------
    [J] work

    Raises
    ------
    OutOfRange : when an input is not above zero

    Notes
    -----
    ``E (d/d₀)ᵏ``, ``k = 2`` for solid stems and more from hollow straw to woody stems
    [judgement]. Wheat straw took 44 to 119 mJ a cut [wheat-straw-cutting], barley straw
    65 to 131 mJ [barley-straw-cutting]; soybean stems are judged to take 1.5 to 3.5 J.

    Examples
    --------
    >>> round(stem_work(0.0035, 2.5, 0.007, 2.0), 3)
    0.625
    """
    guard.positive("stem_thickness", thickness)
    guard.positive("stem_work", reference_work)
    guard.positive("stem_reference", reference)
    guard.positive("stem_exponent", exponent)
    return reference_work * (thickness / reference) ** exponent


def cutting_power(
    work: Joule, density: PerSquareMetre, width: Metre, ground_speed: MetrePerSecond
) -> Watt:
    """Power that the stems themselves take, on average.

    It grows with the pace, and with it whatever a dull edge adds.

    Parameters
    ----------
    work : [J] work to cut one stem
    density : [1/m^2] stems per area
    width : [m] width of the header
    ground_speed : [m/s] speed of the machine over the ground

    Returns
    -------
    [W] mean power

    Raises
    ------
    OutOfRange : when an input is negative

    Notes
    -----
    ``E n W v``: every stem of the area is cut once [mass-balance].

    Examples
    --------
    >>> cutting_power(2.0, 30.0, 10.0, 2.0)
    1200.0
    """
    guard.not_negative("stem_work", work)
    guard.not_negative("stem_density", density)
    guard.not_negative("width", width)
    guard.not_negative("ground_speed", ground_speed)
    return work * density * width * ground_speed


def friction_power(
    bar_friction: NewtonPerMetre, width: Metre, stroke: Metre, stroke_rate: PerSecond
) -> Watt:
    """Power that the knife takes to slide in its guards.

    Most of what a knife takes, with crop or without.

    Parameters
    ----------
    bar_friction : [N/m] friction along a metre of bar
    width : [m] width of the header
    stroke : [m] travel of the knife from one end to the other
    stroke_rate : [1/s] strokes a second

    Returns
    -------
    [W] mean power

    Raises
    ------
    OutOfRange : when friction or width is negative, or stroke or rate is not above zero

    Notes
    -----
    ``f W S n``: sliding friction times mean speed [kinematics].

    Examples
    --------
    >>> friction_power(600.0, 10.0, 0.08, 20.0)
    9600.0
    """
    guard.not_negative("bar_friction", bar_friction)
    guard.not_negative("width", width)
    return bar_friction * width * mean_knife_speed(stroke, stroke_rate)


def inertia_power(
    knife_mass: KilogramPerMetre,
    width: Metre,
    stroke: Metre,
    stroke_rate: PerSecond,
    inertia_lost: Ratio,
) -> Watt:
    """Power lost in starting and stopping the knife at each end of its stroke.

    It rises with the third power of the strokes: why a knife is not simply run faster.

    Parameters
    ----------
    knife_mass : [kg/m] mass of the knife along a metre of bar
    width : [m] width of the header
    stroke : [m] travel of the knife from one end to the other
    stroke_rate : [1/s] strokes a second
    inertia_lost : [1] share of its energy of motion that the drive does not get back

    Returns
    -------
    [W] mean power

    Raises
    ------
    OutOfRange : when mass or width is negative, stroke or rate is not above zero, or
        the share is no fraction

    Notes
    -----
    ``k ½ m W u² n`` with ``u`` the speed at mid-stroke [kinematics]; the share is
    judged.

    Examples
    --------
    >>> round(inertia_power(2.0, 10.0, 0.08, 20.0, 0.5), 1)
    631.7
    """
    guard.not_negative("knife_mass", knife_mass)
    guard.not_negative("width", width)
    guard.fraction("inertia_lost", inertia_lost)
    speed = peak_knife_speed(stroke, stroke_rate)
    energy = knife_mass * width * (speed * speed) / 2.0
    return inertia_lost * energy * stroke_rate


def row_peak(window: Metre, row_distance: Metre, row_band: Metre) -> Ratio:
    """Stems in the fullest window across the rows, against the mean.

    Along the rows a bar always has its share of rows under it: an even load in time,
    though each row falls on a few gaps only. Square across them it meets a whole row at
    once and then nothing; at an angle the rows come in one after the other.

    Parameters
    ----------
    window : [m] what is cut at once, measured square to the rows
    row_distance : [m] distance between rows
    row_band : [m] width of the strip in which the stems of a row stand

    Returns
    -------
    [1] greatest over mean number of stems in the window

    Raises
    ------
    OutOfRange : when the window is negative, the strip is not above zero, or the rows
        stand closer than it is wide

    Notes
    -----
    With ``k`` whole row distances ``s`` in the window ``w`` and ``r`` left over,
    ``(k b + min(r, b)) s/(b w)`` [kinematics]; ``s/b`` in windows narrower than the
    strip. Within a strip stems are taken to stand evenly.

    Examples
    --------
    >>> float(row_peak(0.1, 0.5, 0.125)), float(row_peak(4.0, 0.5, 0.125))
    (4.0, 1.0)
    """
    guard.not_negative("window", window)
    guard.positive("row_band", row_band)
    guard.at_least("row_distance", row_distance, row_band)
    wide = np.maximum(window, row_band)  # the same in every narrower window
    whole = np.floor(wide / row_distance)
    rest = np.minimum(wide - whole * row_distance, row_band)
    peak: Ratio = (whole * row_band + rest) * row_distance / (row_band * wide)
    return peak
