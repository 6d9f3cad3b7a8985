"""Behind the header: grain cracked or bruised, heads left whole, and a side slope.

Of grain damage only the direction is known; the tendencies are signs with a size for
comparing one hour with another, never a share of the grain.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from academy.engine import guard
from academy.engine.si import Radian, Ratio


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreshingState:
    """How fast the rotor or cylinder turns, and how the machine lies on a slope."""

    rotor_ratio: Ratio  # rim speed over the one usual for the crop
    side_share: Ratio  # of the slope, across the line of travel


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreshingCoefficients:
    """What is believed of threshing; the first is an assumption, the others signs."""

    side_slope_growth: Ratio  # of processing loss with the rise of a side slope
    rotor_scale: Ratio  # change of the speed ratio that counts as one
    damage_moisture_scale: Ratio  # change of moisture that counts as one
    green_growth: Ratio  # of processing loss from no green stems to all
    green_work: Ratio  # added to the work per mass of straw by the same


class ThreshingEffect(NamedTuple):
    """Factors, 1 in order, and tendencies; above 0 is more."""

    processing_factor: Ratio
    work_factor: Ratio  # on the work per mass of straw
    crack_tendency: Ratio
    bruise_tendency: Ratio
    unthreshed_tendency: Ratio


def side_slope_factor(slope: Radian, side_share: Ratio, growth: Ratio) -> Ratio:
    """Processing loss on a side slope, over that on level ground.

    Chaff and grain slide to the lower side of the shoe; there it is crowded and the
    upper side runs empty.

    Parameters
    ----------
    slope : [rad] slope of the ground
    side_share : [1] share of it that lies across the line of travel
    growth : [1] growth of the loss with the rise of the side slope

    Returns
    -------
    [1] factor on processing loss

    Raises
    ------
    OutOfRange : when the share is no fraction, or another input is negative

    Notes
    -----
    ``exp(k s tan α)``, an assumption [judgement]: one loss at 8 degrees is published
    without that on the level, so that no factor can be told from it.

    Examples
    --------
    >>> float(side_slope_factor(0.1, 0.0, 4.0))
    1.0
    """
    guard.not_negative("slope", slope)
    guard.fraction("side_share", side_share)
    guard.not_negative("growth", growth)
    factor: Ratio = np.exp(growth * side_share * np.tan(slope))
    return factor


def green_factor(green_stems: Ratio, usual_green: Ratio, growth: Ratio) -> Ratio:
    """Processing loss with green stems, over that with the crop's usual ones.

    Green stems wrap the grain in a tough mat that lets less of it through.

    Parameters
    ----------
    green_stems : [1] share of the plants whose stems are green
    usual_green : [1] share that is usual in the crop
    growth : [1] growth of the loss from no green stems to all

    Returns
    -------
    [1] factor on processing loss

    Raises
    ------
    OutOfRange : when a share is no fraction, or the growth is negative

    Notes
    -----
    ``exp(k (g − g₀))``; only that green stems thresh and separate worse is known, by
    practice [common-practice], the size is [judgement].

    Examples
    --------
    >>> float(green_factor(0.25, 0.25, 2.0))
    1.0
    """
    guard.fraction("green_stems", green_stems)
    guard.fraction("usual_green", usual_green)
    guard.not_negative("growth", growth)
    factor: Ratio = np.exp(growth * (green_stems - usual_green))
    return factor


def crack_tendency(
    moisture: Ratio,
    lowest_moisture: Ratio,
    rotor_ratio: Ratio,
    rotor_scale: Ratio,
    moisture_scale: Ratio,
) -> Ratio:
    """Which way the share of cracked and split grain goes; above 0 it is more.

    Dry grain breaks under a fast rotor: slow it as the afternoon dries the crop.

    Parameters
    ----------
    moisture : [1] moisture of the grain, wet basis
    lowest_moisture : [1] moisture below which the crop counts as too dry
    rotor_ratio : [1] rim speed over the usual one
    rotor_scale : [1] change of that ratio that counts as one
    moisture_scale : [1] change of moisture that counts as one

    Returns
    -------
    [1] tendency

    Raises
    ------
    OutOfRange : when a moisture is no fraction, the ratio is negative, or a scale is
        not above zero

    Notes
    -----
    ``(r − 1)/s + (M₀ − M)/m`` [judgement]; published is the direction: soybean splits
    rise with the speed of the blow and as moisture falls from 17 to 8 %
    [paulsen-1981].

    Examples
    --------
    >>> crack_tendency(0.125, 0.125, 1.5, 0.25, 0.02)
    2.0
    """
    _damage(moisture, lowest_moisture, rotor_ratio, rotor_scale, moisture_scale)
    dry = (lowest_moisture - moisture) / moisture_scale
    return (rotor_ratio - 1.0) / rotor_scale + dry


def bruise_tendency(
    moisture: Ratio,
    highest_moisture: Ratio,
    rotor_ratio: Ratio,
    rotor_scale: Ratio,
    moisture_scale: Ratio,
) -> Ratio:
    """Which way the share of bruised and crushed grain goes; above 0 it is more.

    Damp grain is soft: it does not split, it is crushed, and keeps badly.

    Parameters
    ----------
    moisture : [1] moisture of the grain, wet basis
    highest_moisture : [1] moisture above which the crop counts as too damp
    rotor_ratio : [1] rim speed over the usual one
    rotor_scale : [1] change of that ratio that counts as one
    moisture_scale : [1] change of moisture that counts as one

    Returns
    -------
    [1] tendency

    Raises
    ------
    OutOfRange : when a moisture is no fraction, the ratio is negative, or a scale is
        not above zero

    Notes
    -----
    ``(r − 1)/s + (M − M₁)/m`` [judgement]; published is the direction: soybean was
    crushed most at its dampest, and worst at the fastest rotor [combine-injury-2015].

    Examples
    --------
    >>> bruise_tendency(0.25, 0.1875, 1.0, 0.25, 0.03125)
    2.0
    """
    _damage(moisture, highest_moisture, rotor_ratio, rotor_scale, moisture_scale)
    damp = (moisture - highest_moisture) / moisture_scale
    return (rotor_ratio - 1.0) / rotor_scale + damp


def unthreshed_tendency(
    moisture: Ratio,
    highest_moisture: Ratio,
    rotor_ratio: Ratio,
    rotor_scale: Ratio,
    moisture_scale: Ratio,
) -> Ratio:
    """Which way the share of heads and pods left whole goes; above 0 it is more.

    Damp pods do not open, and a slow rotor rubs them less.

    Parameters
    ----------
    moisture : [1] moisture of the grain, wet basis
    highest_moisture : [1] moisture above which the crop counts as too damp
    rotor_ratio : [1] rim speed over the usual one
    rotor_scale : [1] change of that ratio that counts as one
    moisture_scale : [1] change of moisture that counts as one

    Returns
    -------
    [1] tendency

    Raises
    ------
    OutOfRange : when a moisture is no fraction, the ratio is negative, or a scale is
        not above zero

    Notes
    -----
    ``(1 − r)/s + (M − M₁)/m`` [judgement]; the direction is that of the advice to start
    slow and wide, and to tighten only until heads are threshed [iowa-hanna].

    Examples
    --------
    >>> unthreshed_tendency(0.25, 0.25, 0.5, 0.25, 0.02)
    2.0
    """
    _damage(moisture, highest_moisture, rotor_ratio, rotor_scale, moisture_scale)
    damp = (moisture - highest_moisture) / moisture_scale
    return (1.0 - rotor_ratio) / rotor_scale + damp


def _damage(
    moisture: Ratio, limit: Ratio, ratio: Ratio, scale: Ratio, moisture_scale: Ratio
) -> None:
    guard.fraction("moisture", moisture)
    guard.fraction("moisture_limit", limit)
    guard.not_negative("rotor_ratio", ratio)
    guard.positive("rotor_scale", scale)
    guard.positive("moisture_scale", moisture_scale)


def threshing_effect(
    *,
    moisture: Ratio,
    slope: Radian,
    lowest_moisture: Ratio,
    highest_moisture: Ratio,
    green_stems: Ratio,
    usual_green: Ratio,
    state: ThreshingState,
    c: ThreshingCoefficients,
) -> ThreshingEffect:
    """What rotor speed, moisture, green stems and a side slope do behind the header.

    The moistures are those of the crop's cutting window. Raises OutOfRange.
    """
    scales = (state.rotor_ratio, c.rotor_scale, c.damage_moisture_scale)
    return ThreshingEffect(
        processing_factor=side_slope_factor(
            slope, state.side_share, c.side_slope_growth
        )
        * green_factor(green_stems, usual_green, c.green_growth),
        work_factor=1.0 + c.green_work * (green_stems - usual_green),
        crack_tendency=crack_tendency(moisture, lowest_moisture, *scales),
        bruise_tendency=bruise_tendency(moisture, highest_moisture, *scales),
        unthreshed_tendency=unthreshed_tendency(moisture, highest_moisture, *scales),
    )
