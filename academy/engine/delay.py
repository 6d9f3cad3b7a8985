"""What waiting costs in grain: loss that grows day by day past the best one."""

import numpy as np

from academy.engine import economics, guard
from academy.engine.day_moisture import Floats
from academy.engine.si import (
    Count,
    KilogramPerSquareMetre,
    PerSecond,
    Ratio,
    Second,
)


def waited_loss(start_loss: Ratio, timeliness: PerSecond, delay: Second) -> Ratio:
    """Field loss of a crop that waited.

    Even on its best day a crop loses some grain; each day of waiting adds to it.

    Parameters
    ----------
    start_loss : [1] share of the crop lost on the best day
    timeliness : [1/s] share of the crop lost in unit time
    delay : [s] time past the best day

    Returns
    -------
    [1] share lost in all

    Raises
    ------
    OutOfRange : when an input is negative, or the share passes 1

    Notes
    -----
    ``L₀ + K t`` [philbrook-1989], measured over six weeks.

    Examples
    --------
    >>> waited_loss(0.125, 0.0625, 2.0)
    0.25
    """
    guard.fraction("start_loss", start_loss)
    loss = start_loss + economics.delay_loss(timeliness, delay)
    guard.fraction("waited_loss", loss)
    return loss


def timeliness_for(start_loss: Ratio, end_loss: Ratio, delay: Second) -> PerSecond:
    """Share of the crop lost in unit time, from losses at two dates.

    What a day of waiting costs on this farm, from two counts.

    Parameters
    ----------
    start_loss : [1] share of the crop lost at the first date
    end_loss : [1] share of the crop lost at the second date
    delay : [s] time between them

    Returns
    -------
    [1/s] share of the crop lost in unit time

    Raises
    ------
    OutOfRange : when a loss is no fraction, the second is below the first, or the time
        is not above zero

    Notes
    -----
    ``(L₁ − L₀)/t``, the inverse of ``waited_loss`` [philbrook-1989].

    Examples
    --------
    >>> timeliness_for(0.125, 0.25, 2.0)
    0.0625
    """
    guard.fraction("start_loss", start_loss)
    guard.fraction("end_loss", end_loss)
    guard.at_least("end_loss", end_loss, start_loss)
    guard.positive("delay", delay)
    return (end_loss - start_loss) / delay


def waited_mass(
    timeliness: PerSecond, delay: Second, crop_yield: KilogramPerSquareMetre
) -> KilogramPerSquareMetre:
    """Grain lost by waiting, per field area.

    What the last fields of the season leave behind.

    Parameters
    ----------
    timeliness : [1/s] share of the crop lost in unit time
    delay : [s] time past the best day
    crop_yield : [kg/m^2] grain per field area on the best day

    Returns
    -------
    [kg/m^2] grain lost to the delay

    Raises
    ------
    OutOfRange : when an input is negative, or more than all would be lost

    Notes
    -----
    ``K t Y`` [schuler-2005] [mass-balance].

    Examples
    --------
    >>> waited_mass(0.0625, 2.0, 0.5)
    0.0625
    """
    guard.not_negative("crop_yield", crop_yield)
    return economics.delay_loss(timeliness, delay) * crop_yield


def cycles_for(delay: Second, cycle_time: Second) -> Count:
    """Wet and dry cycles to expect while a crop waits.

    Nobody counts the dews of a fortnight; so many days bring one on average.

    Parameters
    ----------
    delay : [s] time past the best day
    cycle_time : [s] time that brings one cycle, on average

    Returns
    -------
    [1] cycles to expect

    Raises
    ------
    OutOfRange : when the delay is negative, or the time is not above zero

    Notes
    -----
    ``t/t₁`` [judgement]: one cycle in four days makes shatter grow as it did in a trial
    of delays [philbrook-1989].

    Examples
    --------
    >>> cycles_for(12.0, 4.0)
    3.0
    """
    guard.not_negative("delay", delay)
    guard.positive("cycle_time", cycle_time)
    return delay / cycle_time


def cycle_count(moistures: Floats, dry: Ratio, wet: Ratio) -> int:
    """Times that a crop got wet and dried again, from its moisture over some days.

    Each such time works at the seams of pods and heads, and they open easier.

    Parameters
    ----------
    moistures : moisture at moments in their order
    dry : [1] moisture below which it counts as dry
    wet : [1] moisture above which it counts as wet

    Returns
    -------
    number of times it was wet and then dry

    Raises
    ------
    OutOfRange : when a moisture is negative, or wet is below dry

    Notes
    -----
    Between both levels the crop counts as what it was before, so that a ripple is no
    cycle [judgement].

    Examples
    --------
    >>> cycle_count(np.array([0.12, 0.18, 0.14, 0.11, 0.14, 0.11]), 0.13, 0.16)
    1
    """
    guard.not_negative("moisture", moistures)
    guard.at_least("wet_moisture", wet, dry)
    cycles, wetted = 0, False
    for moisture in np.asarray(moistures, dtype=np.float64):
        if moisture > wet:
            wetted = True
        elif moisture < dry and wetted:
            cycles, wetted = cycles + 1, False
    return cycles


def weathered_shatter(cycles: Count, growth: Ratio) -> Ratio:
    """Shatter of a crop that got wet and dried, over that of one that did not.

    A week of dews and noon sun opens more pods at the same blow of the reel.

    Parameters
    ----------
    cycles : [1] wet and dry cycles since the crop was ripe
    growth : [1] growth of shatter with each cycle

    Returns
    -------
    [1] factor on shatter

    Raises
    ------
    OutOfRange : when an input is negative

    Notes
    -----
    ``(1 + g)^n`` [judgement]; that repeated wetting and drying adds to shatter is
    published [msu-e3487], how much is not.

    Examples
    --------
    >>> weathered_shatter(2.0, 0.5)
    2.25
    """
    guard.not_negative("cycles", cycles)
    guard.not_negative("growth", growth)
    return (1.0 + growth) ** cycles
