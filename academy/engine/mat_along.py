"""The mat on its way: laid on along the side belts, met on the centre belt."""

import numpy as np

from academy.engine import guard
from academy.engine.si import (
    Kilogram,
    KilogramPerCubicMetre,
    KilogramPerSecond,
    KilogramPerSquareMetre,
    Metre,
    MetrePerSecond,
    Ratio,
)


def crop_band(
    share: Ratio, other_share: Ratio, side_width: Metre
) -> tuple[Metre, Metre]:
    """Where the crop of one side stands, from its outer end.

    In a pass that laps over cut ground it stands against one end of the header; the
    other side then brings only what stands next to the middle.

    Parameters
    ----------
    share : [1] share of this side's width that brings crop
    other_share : [1] share of the other side's width that does
    side_width : [m] width of a side

    Returns
    -------
    [m] distance from the outer end to where crop begins
    [m] width of the crop on this side

    Raises
    ------
    OutOfRange : when a share is no fraction, or the width is negative

    Notes
    -----
    One band of crop: next to the middle when the other side has crop too, else from
    the outer end [kinematics].

    Examples
    --------
    >>> start, band = crop_band(0.25, 1.0, 6.0)
    >>> float(start), float(band)
    (4.5, 1.5)
    """
    guard.fraction("share", share)
    guard.fraction("other_share", other_share)
    guard.not_negative("side_width", side_width)
    band = np.asarray(share) * side_width
    start: Metre = np.where(np.asarray(other_share) > 0, side_width - band, 0.0)
    return start, band


def laid_width(place: Metre, start: Metre, band: Metre) -> Metre:
    """Width of crop that a belt has picked up on its way to a place.

    Nothing at the outer end, then more with every metre of bar that brings crop.

    Parameters
    ----------
    place : [m] distance from the outer end of the belt
    start : [m] distance from it to where crop begins
    band : [m] width of the crop on this side

    Returns
    -------
    [m] width of crop laid on before that place

    Raises
    ------
    OutOfRange : when a distance is negative

    Notes
    -----
    ``min(max(x − x₀, 0), w)`` [mass-balance]: with ``draper.mat_depth`` the depth at
    any place of the belt.

    Examples
    --------
    >>> float(laid_width(4.0, 1.0, 5.0)), float(laid_width(4.0, 1.0, 2.0))
    (3.0, 2.0)
    """
    guard.not_negative("place", place)
    guard.not_negative("start", start)
    guard.not_negative("band", band)
    laid: Metre = np.minimum(np.maximum(np.asarray(place) - start, 0.0), band)
    return laid


def crop_on_belt(
    crop_mass: KilogramPerSquareMetre,
    ground_speed: MetrePerSecond,
    belt_speed: MetrePerSecond,
    length: Metre,
    start: Metre,
    band: Metre,
) -> Kilogram:
    """Mass of the crop that lies on a side belt at one moment.

    Slow the belt and more lies on it; a belt twice as long carries four times as much.

    Parameters
    ----------
    crop_mass : [kg/m^2] gathered crop, grain and straw, per field area
    ground_speed : [m/s] speed of the machine over the ground
    belt_speed : [m/s] speed of the belt
    length : [m] length of the belt from its outer end to the opening
    start : [m] distance from the outer end to where crop begins
    band : [m] width of the crop on this side

    Returns
    -------
    [kg] crop on the belt

    Raises
    ------
    OutOfRange : when an input is negative, or the belt speed is not above zero

    Notes
    -----
    ``(q v/v_b) ∫ laid dx = (q v/v_b) (p² − max(p − w, 0)²)/2`` with
    ``p = max(ℓ − x₀, 0)`` [mass-balance].

    Examples
    --------
    >>> float(crop_on_belt(0.5, 2.0, 2.0, 4.0, 0.0, 5.0))
    4.0
    """
    guard.not_negative("crop_mass", crop_mass)
    guard.not_negative("ground_speed", ground_speed)
    guard.positive("belt_speed", belt_speed)
    guard.not_negative("length", length)
    guard.not_negative("start", start)
    guard.not_negative("band", band)
    past = np.maximum(np.asarray(length) - start, 0.0)
    beyond = np.maximum(past - band, 0.0)
    area = (past * past - beyond * beyond) / 2.0
    mass: Kilogram = crop_mass * ground_speed / belt_speed * area
    return mass


def centre_depth(
    flow: KilogramPerSecond,
    density: KilogramPerCubicMetre,
    belt_width: Metre,
    belt_speed: MetrePerSecond,
) -> Metre:
    """Depth of the mat on the centre belt, or on one half of it.

    Here both mats meet and turn towards the drum.

    Parameters
    ----------
    flow : [kg/s] crop that this part of the belt takes away
    density : [kg/m^3] loose density of the mat
    belt_width : [m] width of this part of the belt
    belt_speed : [m/s] speed of the centre belt

    Returns
    -------
    [m] depth of the mat

    Raises
    ------
    OutOfRange : when the flow is negative, or another input is not above zero

    Notes
    -----
    ``ṁ/(ρ w v_c)`` [mass-balance].

    Examples
    --------
    >>> centre_depth(12.0, 15.0, 1.6, 2.5)
    0.2
    """
    guard.not_negative("flow", flow)
    guard.positive("density", density)
    guard.positive("belt_width", belt_width)
    guard.positive("belt_speed", belt_speed)
    return flow / (density * belt_width * belt_speed)


def imbalance(left_flow: KilogramPerSecond, right_flow: KilogramPerSecond) -> Ratio:
    """How unequally the two sides feed the centre.

    0 when both bring the same, 1 when the left brings all, −1 when the right does.

    Parameters
    ----------
    left_flow : [kg/s] crop that the left belt hands over
    right_flow : [kg/s] crop that the right belt hands over

    Returns
    -------
    [1] difference over sum; 0 without crop

    Raises
    ------
    OutOfRange : when a flow is negative

    Notes
    -----
    ``(ṁ_l − ṁ_r)/(ṁ_l + ṁ_r)``, a definition [mass-balance].

    Examples
    --------
    >>> float(imbalance(6.0, 2.0))
    0.5
    """
    guard.not_negative("left_flow", left_flow)
    guard.not_negative("right_flow", right_flow)
    both = np.asarray(left_flow) + right_flow
    difference = np.asarray(left_flow) - right_flow
    share: Ratio = difference / np.where(both > 0, both, 1.0)
    return share


def depth_along(
    across: Ratio,
    left_share: Ratio,
    right_share: Ratio,
    left_depth: Metre,
    right_depth: Metre,
) -> Metre:
    """Depth of the mat at places across the header, from its left end to its right.

    A wedge from each end: thin outside, deepest where both sides hand over.

    Parameters
    ----------
    across : [1] places as shares of the width, 0 the left end
    left_share : [1] share of the left side's width that brings crop
    right_share : [1] share of the right side's width that does
    left_depth : [m] depth of the left mat once all crop of its side lies on it
    right_depth : [m] depth of the right mat

    Returns
    -------
    [m] depth at each place; before the opening, of crop that falls beside the belt

    Raises
    ------
    OutOfRange : when a place or a share is no fraction, or a depth is negative

    Notes
    -----
    In proportion to the width laid on, ``δ laid(x)/w`` [mass-balance].

    Examples
    --------
    >>> float(depth_along(0.25, 1.0, 1.0, 0.2, 0.1))
    0.1
    """
    guard.fraction("across", across)
    guard.not_negative("left_depth", left_depth)
    guard.not_negative("right_depth", right_depth)
    at = np.asarray(across, dtype=float)
    sides = (
        (np.minimum(2.0 * at, 1.0), left_share, right_share, left_depth),
        (np.minimum(2.0 * (1.0 - at), 1.0), right_share, left_share, right_depth),
    )
    depths = []
    for place, share, other, depth in sides:
        start, band = crop_band(share, other, 1.0)
        whole = np.where(np.asarray(band) > 0, band, 1.0)
        depths.append(depth * laid_width(place, start, band) / whole)
    along: Metre = np.where(at <= 0.5, *depths)
    return along
