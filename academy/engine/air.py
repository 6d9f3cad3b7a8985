"""The air of an hour: how warm it is, and how near it stands to dew."""

import numpy as np

from academy.engine import guard
from academy.engine.si import Kelvin, Ratio, Second


def air_temperature(
    time: Second,
    least: Kelvin,
    greatest: Kelvin,
    coldest_time: Second,
    warmest_time: Second,
    day_length: Second,
) -> Kelvin:
    """Temperature of the air at an hour of a day like the one before.

    Coldest about sunrise, warmest in the middle of the afternoon.

    Parameters
    ----------
    time : [s] time of the day, from midnight
    least : [K] lowest temperature of the day
    greatest : [K] highest temperature of the day
    coldest_time : [s] time at which it is coldest
    warmest_time : [s] time at which it is warmest, later than that
    day_length : [s] time after which the day repeats

    Returns
    -------
    [K] temperature of the air

    Raises
    ------
    OutOfRange : when a temperature is not above zero, the highest is below the lowest,
        or the times are out of order within the day

    Notes
    -----
    Half a cosine from the coldest hour to the warmest, half of a slower one back
    [judgement]; its mean over the day is the middle of both ends [kinematics].

    Examples
    --------
    >>> float(air_temperature(9.0, 280.0, 300.0, 6.0, 12.0, 24.0))
    290.0
    """
    guard.finite("time", time)
    guard.positive("temperature", least)
    guard.at_least("temperature", greatest, least)
    guard.not_negative("coldest_time", coldest_time)
    rise = warmest_time - coldest_time
    guard.positive("time_to_the_warmest_hour", rise)
    guard.positive("time_to_the_coldest_hour", day_length - rise)
    since = np.mod(time - coldest_time, day_length)
    falling = np.pi + np.pi * (since - rise) / (day_length - rise)
    angle = np.where(since < rise, np.pi * since / rise, falling)
    warmth: Kelvin = least + (greatest - least) * (1.0 - np.cos(angle)) / 2.0
    return warmth


def relative_humidity(
    temperature: Kelvin,
    dew_point: Kelvin,
    magnus_factor: Ratio,
    magnus_offset: Kelvin,
    fitted_zero: Kelvin,
) -> Ratio:
    """Water in the air over the most that it holds at its temperature.

    Falls as the day warms although the water stays the same; at the dew point it is
    full, and dew or fog comes.

    Parameters
    ----------
    temperature : [K] temperature of the air
    dew_point : [K] temperature at which its water would begin to settle
    magnus_factor : [1] factor of the Magnus form as printed
    magnus_offset : [K] temperature offset of the Magnus form as printed
    fitted_zero : [K] temperature that the form calls 0

    Returns
    -------
    [1] relative humidity, 1 for air at or below its dew point

    Raises
    ------
    OutOfRange : when a temperature or a coefficient is not above zero, or it is colder
        than the form goes

    Notes
    -----
    ``exp[f(T_d) − f(T)]`` with ``f = bT/(c + T)``, the Magnus form [memory]. Below the
    dew point water settles as dew or hangs as fog, and the air stays full.

    Examples
    --------
    >>> float(relative_humidity(290.0, 290.0, 17.62, 243.12, 273.15))
    1.0
    """
    guard.positive("magnus_factor", magnus_factor)
    guard.positive("magnus_offset", magnus_offset)
    guard.not_negative("fitted_zero", fitted_zero)

    def pull(degrees: Kelvin) -> Ratio:
        guard.positive("temperature", degrees)
        over = degrees - fitted_zero
        guard.positive("temperature", magnus_offset + over)
        return magnus_factor * over / (magnus_offset + over)

    most: Ratio = np.minimum(pull(dew_point) - pull(temperature), 0.0)
    humidity: Ratio = np.exp(most)
    return humidity


def damped_humidity(humidity: Ratio, lodging: Ratio, lodged_damp: Ratio) -> Ratio:
    """Humidity of the air inside a crop.

    A crop that lies flat keeps its own damp air; the wind does not reach it.

    Parameters
    ----------
    humidity : [1] relative humidity of the air over the crop
    lodging : [1] share of the crop that lies down
    lodged_damp : [1] share of what is lacking to full that a flat crop adds

    Returns
    -------
    [1] relative humidity among the stems

    Raises
    ------
    OutOfRange : when an input is no fraction

    Notes
    -----
    ``H + d ℓ (1 − H)``: the simplest form that is the air's own in standing crop and
    never passes 1 [judgement].

    Examples
    --------
    >>> damped_humidity(0.5, 1.0, 0.5)
    0.75
    """
    guard.fraction("humidity", humidity)
    guard.fraction("lodging", lodging)
    guard.fraction("lodged_damp", lodged_damp)
    return humidity + lodged_damp * lodging * (1.0 - humidity)
