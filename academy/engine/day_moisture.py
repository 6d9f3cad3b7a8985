"""How moisture of grain and stems follows the air of a day, always a little late.

A day is an even grid of moments along the last axis, and the next day is like it.
"""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from academy.engine import guard
from academy.engine.si import Ratio, Second

Floats: TypeAlias = NDArray[np.float64]


def lagged_moisture(equilibrium: Ratio, step: Second, lag: Second) -> Ratio:
    """Moisture through a day of something that takes its time to follow the air.

    Grain is driest some hours after the driest air, and damp long after the dew has
    gone; a short lag follows the air, an endless one stays at the day's mean.

    Parameters
    ----------
    equilibrium : [1] moisture that the air of each moment leads to, along the last axis
    step : [s] time between two moments
    lag : [s] time in which two thirds of the way are gone; spread along other axes

    Returns
    -------
    [1] moisture at each moment, on the basis of the equilibrium

    Raises
    ------
    OutOfRange : when a moisture or the lag is negative, or the step is not above zero

    Notes
    -----
    ``dM/dt = (M_e − M)/τ`` for a day that repeats, each step solved exactly
    [judgement]: every moment is a weighted mean of the day's equilibria, so the day's
    mean is kept and no moment leaves their range.

    Examples
    --------
    >>> lagged_moisture(np.array([0.1, 0.2]), 3.0, 1e9).round(6).tolist()
    [0.15, 0.15]
    """
    guard.not_negative("equilibrium_moisture", equilibrium)
    guard.positive("step", step)
    guard.not_negative("lag", lag)
    wanted = np.asarray(equilibrium, dtype=np.float64)
    with np.errstate(divide="ignore", over="ignore"):  # no lag: all the way at once
        pace = np.divide(step, np.asarray(lag, dtype=np.float64))
        around = -np.expm1(-pace * wanted.shape[-1])
    kept, gone = np.exp(-pace), -np.expm1(-pace)
    run = np.zeros(np.broadcast_shapes(wanted.shape[:-1], kept.shape))
    for moment in range(wanted.shape[-1]):
        run = kept * run + gone * wanted[..., moment]
    run, moments = run / around, []
    for moment in range(wanted.shape[-1]):
        run = kept * run + gone * wanted[..., moment]
        moments.append(run)
    followed: Ratio = np.stack(moments, axis=-1)
    return followed


def settled_moisture(
    settled: Ratio, start: Ratio, settled_start: Ratio, time: Second, lag: Second
) -> Ratio:
    """Moisture of something that started elsewhere than such days would have left it.

    After rain, or while it still ripens, a crop is damper than the days ask; each lag
    takes two thirds of that away.

    Parameters
    ----------
    settled : [1] moisture at this moment, had all days been like this
    start : [1] moisture at the start
    settled_start : [1] moisture that such days would have left at the start
    time : [s] time since the start
    lag : [s] time in which two thirds of the way are gone

    Returns
    -------
    [1] moisture now

    Raises
    ------
    OutOfRange : when a moisture or the time is negative, or the lag is not above zero

    Notes
    -----
    ``M + (M₀ − M(0)) exp(−t/τ)``: the equation of ``lagged_moisture`` is linear, so
    the difference fades by itself [kinematics].

    Examples
    --------
    >>> round(float(settled_moisture(0.12, 0.3, 0.1, 0.0, 4.0)), 6)
    0.32
    """
    guard.not_negative("moisture", settled)
    guard.not_negative("moisture", start)
    guard.not_negative("moisture", settled_start)
    guard.not_negative("time", time)
    guard.positive("lag", lag)
    moisture: Ratio = settled + (start - settled_start) * np.exp(-time / lag)
    return moisture


def layered_moisture(skin: Ratio, core: Ratio, skin_share: Ratio) -> Ratio:
    """Moisture of a grain whose skin follows the day while its core does not.

    A few damp hours wet only the outside: grain falls and rises by points between dawn
    and afternoon, not by all that the air would lead to in time.

    Parameters
    ----------
    skin : [1] moisture of what follows the day
    core : [1] moisture of what keeps that of the days before
    skin_share : [1] share of the grain that follows the day

    Returns
    -------
    [1] moisture of the whole, on the basis of its parts

    Raises
    ------
    OutOfRange : when a moisture is negative, or the share no fraction

    Notes
    -----
    ``s M_s + (1 − s) M_c`` [mass-balance]; one lag for the whole grain would either
    swing too far or be driest at night [judgement].

    Examples
    --------
    >>> layered_moisture(0.2, 0.1, 0.25)
    0.125
    """
    guard.not_negative("equilibrium_moisture", skin)
    guard.not_negative("equilibrium_moisture", core)
    guard.fraction("skin_share", skin_share)
    return skin_share * skin + (1.0 - skin_share) * core


def swung_moisture(moisture: Ratio, here: Ratio, read: Ratio) -> Ratio:
    """Moisture of a field at another moment than the one it was sampled at.

    The sample of the afternoon told over to the morning, as the air says.

    Parameters
    ----------
    moisture : [1] moisture of the sample, wet basis
    here : [1] moisture, dry basis, that such days lead to at this moment
    read : [1] moisture, dry basis, that they lead to when the sample was taken

    Returns
    -------
    [1] moisture at this moment, wet basis

    Raises
    ------
    OutOfRange : when the sample's moisture is no fraction below 1, or another is not
        above zero

    Notes
    -----
    Water on dry matter changes in the proportion ``here/read`` [judgement]: a field
    keeps its own level, only the swing is taken from the isotherm.

    Examples
    --------
    >>> round(swung_moisture(0.2, 0.3, 0.15), 6)
    0.333333
    """
    guard.below_one("moisture", moisture)
    guard.positive("equilibrium_moisture", here)
    guard.positive("equilibrium_moisture", read)
    dry = moisture / (1.0 - moisture) * (here / read)
    return dry / (1.0 + dry)


def at_hour(through: Floats, time: Second, step: Second) -> Ratio:
    """A day's figure at a moment between those of the grid.

    What stands between two marks of the day's curve, after midnight as before it.

    Parameters
    ----------
    through : the figure at each moment of the day, along the last axis
    time : [s] time from midnight; may lie in another day
    step : [s] time between two moments

    Returns
    -------
    [1] the figure then, in its own unit

    Raises
    ------
    OutOfRange : when the time is no number, or the step is not above zero

    Notes
    -----
    Straight between two moments, round the day [kinematics].

    Examples
    --------
    >>> float(at_hour(np.array([0.0, 1.0, 2.0]), 1.5, 1.0))
    1.5
    """
    guard.finite("time", time)
    guard.positive("step", step)
    place = np.mod(np.asarray(time) / step, through.shape[-1])
    first = np.floor(place).astype(np.int64) % through.shape[-1]
    after = (first + 1) % through.shape[-1]
    share = place - np.floor(place)
    figure: Ratio = through[..., first] * (1.0 - share) + through[..., after] * share
    return figure
