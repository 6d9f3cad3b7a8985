"""Where the reel's tines go, how hard they meet the crop, and what that loses."""

import numpy as np
from scipy.special import expit

from academy.engine import guard
from academy.engine.si import (
    Metre,
    MetrePerSecond,
    Radian,
    RadianPerSecond,
    Ratio,
)


def reel_index(
    tip_radius: Metre, reel_rate: RadianPerSecond, ground_speed: MetrePerSecond
) -> Ratio:
    """Ratio of reel-tip speed to ground speed.

    At 1 the tips stand still over the ground at their lowest point; below 1 they push
    the crop away from the knife; far above 1 they beat the pods open.

    Parameters
    ----------
    tip_radius : [m] distance from the reel's axle to the tine tips
    reel_rate : [rad/s] turning rate of the reel
    ground_speed : [m/s] speed of the machine over the ground

    Returns
    -------
    [1] reel index

    Raises
    ------
    OutOfRange : when radius or speed is not above zero, or the rate is negative

    Notes
    -----
    ``λ = R ω / v`` [kinematics]. Printed check: a 42 in reel at 36 rpm and 3 mph
    stands at 1.5 [iowa-2005].

    Examples
    --------
    >>> round(reel_index(0.5334, 3.77, 1.341), 2)
    1.5
    """
    guard.positive("tip_radius", tip_radius)
    guard.not_negative("reel_rate", reel_rate)
    guard.positive("ground_speed", ground_speed)
    return tip_radius * reel_rate / ground_speed


def reel_rate_for(
    tip_radius: Metre, reel_index: Ratio, ground_speed: MetrePerSecond
) -> RadianPerSecond:
    """Turning rate that gives a wanted reel index.

    What to set on the reel when the machine's speed changes and the index must not.

    Parameters
    ----------
    tip_radius : [m] distance from the reel's axle to the tine tips
    reel_index : [1] wanted ratio of tip speed to ground speed
    ground_speed : [m/s] speed of the machine over the ground

    Returns
    -------
    [rad/s] turning rate of the reel

    Raises
    ------
    OutOfRange : when radius is not above zero, or index or speed is negative

    Notes
    -----
    ``ω = λ v / R``, the inverse of ``reel_index`` [kinematics] [iowa-2005].

    Examples
    --------
    >>> round(reel_rate_for(0.5, 1.25, 2.0), 3)
    5.0
    """
    guard.positive("tip_radius", tip_radius)
    guard.not_negative("reel_index", reel_index)
    guard.not_negative("ground_speed", ground_speed)
    return reel_index * ground_speed / tip_radius


def entry_angle(reel_index: Ratio) -> Radian:
    """Angle below the forward horizontal at which a bat goes straight down.

    The higher the index, the earlier in its turn the bat drops into the crop.

    Parameters
    ----------
    reel_index : [1] ratio of tip speed to ground speed

    Returns
    -------
    [rad] angle of the bat, from the forward horizontal downwards

    Raises
    ------
    OutOfRange : when the index is below 1, where no bat moves straight down

    Notes
    -----
    ``sin θ₁ = 1/λ`` [kinematics]. At 1 it is the lowest point (a right angle).

    Examples
    --------
    >>> round(float(entry_angle(2.0)), 4)
    0.5236
    """
    guard.at_least("reel_index", reel_index, 1.0)
    angle: Radian = np.arcsin(np.divide(1.0, reel_index))
    return angle


def entry_speed(ground_speed: MetrePerSecond, reel_index: Ratio) -> MetrePerSecond:
    """Speed at which a bat drops into the crop where it moves straight down.

    The blow that opens dry pods; it grows with ground speed and with the index.

    Parameters
    ----------
    ground_speed : [m/s] speed of the machine over the ground
    reel_index : [1] ratio of tip speed to ground speed

    Returns
    -------
    [m/s] downward speed of the bat at entry

    Raises
    ------
    OutOfRange : when speed or index is negative

    Notes
    -----
    ``u = v √(λ² − 1)`` [kinematics]. At and below 1 no bat moves straight down; the
    value is 0, the limit of the formula at 1.

    Examples
    --------
    >>> round(float(entry_speed(2.0, 1.25)), 3)
    1.5
    """
    guard.not_negative("ground_speed", ground_speed)
    guard.not_negative("reel_index", reel_index)
    root: Ratio = np.sqrt(np.maximum(reel_index * reel_index - 1.0, 0.0))
    return ground_speed * root


def sweep_speed(ground_speed: MetrePerSecond, reel_index: Ratio) -> MetrePerSecond:
    """Rearward speed of the tips over the ground at their lowest point.

    Above zero the tips carry crop to the knife and over it; below zero they push the
    crop forward, away from the knife.

    Parameters
    ----------
    ground_speed : [m/s] speed of the machine over the ground
    reel_index : [1] ratio of tip speed to ground speed

    Returns
    -------
    [m/s] rearward speed, negative when the tips push forward

    Raises
    ------
    OutOfRange : when speed or index is negative

    Notes
    -----
    ``v (λ − 1)`` [kinematics].

    Examples
    --------
    >>> sweep_speed(2.0, 1.5)
    1.0
    """
    guard.not_negative("ground_speed", ground_speed)
    guard.not_negative("reel_index", reel_index)
    return ground_speed * (reel_index - 1.0)


def entry_axle_height(
    crop_height: Metre, cut_height: Metre, tip_radius: Metre, reel_index: Ratio
) -> Metre:
    """Height of the reel's axle over the knife at which bats enter the crop top.

    Higher, and the tines meet air first; lower, and they meet the heads while still
    moving forward.

    Parameters
    ----------
    crop_height : [m] height of the crop's top over the ground
    cut_height : [m] height of the knife over the ground
    tip_radius : [m] distance from the reel's axle to the tine tips
    reel_index : [1] ratio of tip speed to ground speed

    Returns
    -------
    [m] axle height over the knife; negative when the crop is far below the knife

    Raises
    ------
    OutOfRange : when a height or the index is negative, or the radius is not above zero

    Notes
    -----
    ``H = L − h + R/λ`` [kinematics]. Below index 1 no bat moves straight down; the
    value stays at ``L − h + R``, the limit at 1 (tips just touching the crop top).

    Examples
    --------
    >>> round(float(entry_axle_height(0.9, 0.06, 0.5, 1.25)), 3)
    1.24
    """
    guard.not_negative("crop_height", crop_height)
    guard.not_negative("cut_height", cut_height)
    guard.positive("tip_radius", tip_radius)
    guard.not_negative("reel_index", reel_index)
    reach: Metre = tip_radius / np.maximum(reel_index, 1.0)
    return crop_height - cut_height + reach


def penetration(tip_radius: Metre, reel_index: Ratio) -> Metre:
    """Depth the tines reach below their entry point at the bottom of their turn.

    How far into the crop the tines go when the reel stands at its entry height.

    Parameters
    ----------
    tip_radius : [m] distance from the reel's axle to the tine tips
    reel_index : [1] ratio of tip speed to ground speed

    Returns
    -------
    [m] depth below the entry point

    Raises
    ------
    OutOfRange : when the radius is not above zero, or the index is negative

    Notes
    -----
    ``e = R (1 − 1/λ)`` [kinematics]; 0 at and below index 1, where the entry point is
    the lowest point.

    Examples
    --------
    >>> round(float(penetration(0.5, 2.0)), 3)
    0.25
    """
    guard.positive("tip_radius", tip_radius)
    guard.not_negative("reel_index", reel_index)
    share: Ratio = 1.0 - 1.0 / np.maximum(reel_index, 1.0)
    return tip_radius * share


def shatter_share(
    entry_speed: MetrePerSecond,
    moisture: Ratio,
    amplitude: Ratio,
    threshold_speed: MetrePerSecond,
    speed_width: MetrePerSecond,
    moisture_slope: MetrePerSecond,
    reference_moisture: Ratio,
) -> Ratio:
    """Share of the crop that the bats beat out onto the ground.

    Small while the bats enter gently, rising steeply past a speed that is lower the
    drier the pods are.

    Parameters
    ----------
    entry_speed : [m/s] downward speed of the bat at entry
    moisture : [1] moisture of the grain, wet basis
    amplitude : [1] share lost under very hard blows
    threshold_speed : [m/s] entry speed at half the amplitude, at reference moisture
    speed_width : [m/s] spread of pods about that speed
    moisture_slope : [m/s] rise of the threshold per unit of moisture fraction
    reference_moisture : [1] moisture at which the threshold was stated, wet basis

    Returns
    -------
    [1] share of the standing crop shattered by the reel

    Raises
    ------
    OutOfRange : when a speed or slope is negative, the width is not above zero, or a
        moisture or the amplitude is no fraction

    Notes
    -----
    ``A / (1 + exp(−(u − u₅₀)/w))``, ``u₅₀ = threshold + slope (M − M₀)`` [judgement],
    calibrated on the practical losses of [nebraska-2010] and [missouri-g1280]; only
    the direction with dryness is published [msu-e3487].

    Examples
    --------
    >>> round(float(shatter_share(3.0, 0.13, 0.1, 3.0, 0.6, 18.0, 0.13)), 3)
    0.05
    """
    guard.not_negative("entry_speed", entry_speed)
    guard.fraction("moisture", moisture)
    guard.fraction("amplitude", amplitude)
    guard.not_negative("threshold_speed", threshold_speed)
    guard.positive("speed_width", speed_width)
    guard.not_negative("moisture_slope", moisture_slope)
    guard.fraction("reference_moisture", reference_moisture)
    threshold = threshold_speed + moisture_slope * (moisture - reference_moisture)
    share: Ratio = amplitude * expit((entry_speed - threshold) / speed_width)
    return share


def not_carried_share(
    reel_index: Ratio,
    lodging: Ratio,
    amplitude: Ratio,
    decay: Ratio,
    lodging_decay: Ratio,
    fore_aft_error: Metre,
    fore_aft_scale: Metre,
    height_error: Metre,
    height_scale: Metre,
) -> Ratio:
    """Share of the crop that is cut or touched but not carried onto the header.

    A slow reel does not sweep the crop in; lodged crop needs a faster reel, and an axle
    out of its place helps neither.

    Parameters
    ----------
    reel_index : [1] ratio of tip speed to ground speed
    lodging : [1] share of the crop that lies down
    amplitude : [1] share not carried in at index 1, reel well placed
    decay : [1] rise of the index that cuts the loss e-fold, standing crop
    lodging_decay : [1] what full lodging adds to that rise
    fore_aft_error : [m] axle ahead of the knife minus its best lead
    fore_aft_scale : [m] fore-and-aft error that doubles the loss
    height_error : [m] axle height minus its best height
    height_scale : [m] height error that doubles the loss

    Returns
    -------
    [1] share of the standing crop not carried in

    Raises
    ------
    OutOfRange : when the index is negative, lodging or amplitude is no fraction, decay
        or a scale is not above zero, or an error is no number

    Notes
    -----
    ``B exp(−(λ − 1)/(g₀ + g₁ℓ)) [1 + (x/x_s)²] [1 + (z/z_s)²]`` [judgement], calibrated
    on the recommended indexes of [iowa-hanna]. A share cannot pass 1: below index 1,
    where the expression grows without bound, it stops there.

    Examples
    --------
    >>> round(float(not_carried_share(1, 0, 0.03, 0.1, 0.6, 0.1, 0.1, 0, 0.2)), 3)
    0.06
    """
    guard.not_negative("reel_index", reel_index)
    guard.fraction("lodging", lodging)
    guard.fraction("amplitude", amplitude)
    guard.positive("decay", decay)
    guard.not_negative("lodging_decay", lodging_decay)
    guard.finite("fore_aft_error", fore_aft_error)
    guard.positive("fore_aft_scale", fore_aft_scale)
    guard.finite("height_error", height_error)
    guard.positive("height_scale", height_scale)
    carried = np.exp((1.0 - reel_index) / (decay + lodging_decay * lodging))
    fore_aft = 1.0 + np.square(fore_aft_error / fore_aft_scale)
    height = 1.0 + np.square(height_error / height_scale)
    share: Ratio = np.minimum(amplitude * (fore_aft * height) * carried, 1.0)
    return share
