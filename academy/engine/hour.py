"""The hour and the day of the cut: moisture, the window, and what waiting costs."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from academy.engine import air, day_moisture, delay, economics, guard
from academy.engine.conditions import Field
from academy.engine.day_moisture import Floats
from academy.engine.isotherm import Isotherm, equilibrium_moisture
from academy.engine.readings import Flags
from academy.engine.si import Count, Kelvin, Number, PerSecond, Ratio, Second
from academy.engine.stand import Stand, StandCoefficients, toughness

MOMENTS = 96


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """The weather of one day, and of the days before it."""

    least_temperature: Kelvin
    greatest_temperature: Kelvin
    coldest_time: Second
    warmest_time: Second
    dew_point: Kelvin
    lag_factor: Ratio  # how long crop lags behind such air, over an ordinary day
    length: Second


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours:
    """What a crop's hours are reckoned with."""

    days: Mapping[str, Day]
    usual: str  # the day on which a field is sampled
    isotherm: Isotherm
    daily_loss: PerSecond  # left in the field by waiting; 0 where nobody measured it
    lowest_moisture: Ratio  # of the cutting window
    highest_moisture: Ratio


@dataclass(frozen=True, slots=True, kw_only=True)
class HourState:
    """When it is cut, how long it waited, and what kind of day it is."""

    hour: Second  # from midnight
    delay: Second  # past the best day
    wet_dry_cycles: Count  # since the crop was ripe
    day: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HourCoefficients:
    """What is believed of air, of grain and stems in it, and of waiting."""

    magnus_factor: Ratio
    magnus_offset: Kelvin
    magnus_zero: Kelvin
    reading_time: Second  # of an ordinary day, when a field's moisture is sampled
    grain_lag: Second  # of its skin
    skin_share: Ratio  # of the grain, that follows the day; its core does not
    stem_lag: Second
    dew_humidity: Ratio  # from which dew or fog wets the crop
    stem_dew_gain: Ratio  # water on stems under dew, over their dry matter
    lodged_damp: Ratio
    lodged_lag: Ratio  # added to the lag of a flat crop
    tough_limit: Ratio  # toughness of the stems from which it is too tough
    cycle_shatter: Ratio  # growth of shatter with each wet and dry cycle
    cycle_time: Second  # days to one such cycle, on average
    delay_preharvest: Ratio  # of what a delay loses, before the machine comes
    delay_stalk: Ratio  # of it, in plants that fell


class Weathering(NamedTuple):
    """What waiting did: shares lost before the header and as fallen plants, and how
    many times as much shatters.
    """

    preharvest: Ratio
    stalk: Ratio
    shatter_factor: Ratio


class Through(NamedTuple):
    """A day from midnight to midnight, on an even grid along the last axis."""

    time: Floats
    temperature: Floats
    humidity: Floats  # among the stems
    grain: Floats  # moisture of its skin, dry basis
    stem: Floats  # of a dry stem, dry basis
    dew: Flags


class Window(NamedTuple):
    """Which moments are fit to cut, and why the others are not."""

    open: Flags
    too_dry: Flags  # shatter rises
    too_damp: Flags  # to store or to thresh
    too_tough: Flags  # stems


class HourEffect(NamedTuple):
    """What the hour does; in order each is the field's own, 0 or 1."""

    moisture: Ratio  # of the grain, for Field.moisture
    stem_moisture: Ratio  # for Stand.stem_moisture
    preharvest: Ratio  # extra share of the crop on the ground before the header
    stalk: Ratio  # extra share of the crop in plants that fell, lost as lodged
    shatter_factor: Ratio
    temperature: Kelvin
    humidity: Ratio
    dew: Flags


def _spread(value: Number) -> Floats:
    return np.asarray(value, dtype=np.float64)[..., np.newaxis]


def through_day(
    *, day: Day, isotherm: Isotherm, lodging: Ratio, c: HourCoefficients
) -> Through:
    """Air, grain and dry stems through a day like the one before.

    Coefficients and lodging may be arrays; the moments of the day follow as one more
    axis. Raises OutOfRange.
    """
    step = day.length / MOMENTS
    time: Floats = np.asarray(np.arange(MOMENTS) * step, dtype=np.float64)
    warmth = air.air_temperature(
        time,
        day.least_temperature,
        day.greatest_temperature,
        day.coldest_time,
        day.warmest_time,
        day.length,
    )
    over = air.relative_humidity(
        warmth,
        day.dew_point,
        _spread(c.magnus_factor),
        _spread(c.magnus_offset),
        c.magnus_zero,
    )
    lying = _spread(lodging)
    inside = air.damped_humidity(over, lying, _spread(c.lodged_damp))
    balance = equilibrium_moisture(isotherm, inside, warmth)
    slower = day.lag_factor * (1.0 + c.lodged_lag * lodging)
    dew = np.asarray(inside >= _spread(c.dew_humidity))
    wetted = balance + _spread(c.stem_dew_gain) * dew
    return Through(
        time=time,
        temperature=np.asarray(warmth),
        humidity=np.asarray(inside),
        grain=np.asarray(
            day_moisture.lagged_moisture(balance, step, c.grain_lag * slower)
        ),
        stem=np.asarray(
            day_moisture.lagged_moisture(wetted, step, c.stem_lag * slower)
        ),
        dew=dew,
    )


def whole_grain(here: Through, usual: Through, c: HourCoefficients) -> Floats:
    """Moisture of the grain through a day after usual ones, dry basis.

    Its skin follows the day, its core keeps the mean of a usual one. Raises OutOfRange.
    """
    core = np.mean(usual.grain, axis=-1, keepdims=True)
    whole = day_moisture.layered_moisture(here.grain, core, _spread(c.skin_share))
    return np.asarray(whole)


def told_over(sample: Ratio, through: Floats, read: Ratio) -> Floats:
    """Moisture of a day, wet basis, from a sample and what such days lead to.

    ``through`` and ``read`` are dry basis: at each moment, and when it was sampled.
    """
    return np.asarray(
        day_moisture.swung_moisture(_spread(sample), through, _spread(read))
    )


def cutting_window(
    *,
    grain: Floats,
    stem: Floats,
    stand: Stand,
    hours: Hours,
    tough: StandCoefficients,
    c: HourCoefficients,
) -> Window:
    """Moments at which the crop is neither too dry, too damp nor too tough to cut.

    ``grain`` and ``stem`` are moistures, wet basis, through a day; ``hours`` says
    from where shatter rises, and what can be threshed and stored. Raises OutOfRange.
    """
    lowest, highest = hours.lowest_moisture, hours.highest_moisture
    guard.fraction("lowest_moisture", lowest)
    guard.at_least("highest_moisture", highest, lowest)
    green = _spread(stand.green_stems)
    standing = replace(stand, stem_moisture=stem, green_stems=green)
    too_dry, too_damp = grain < _spread(lowest), grain > _spread(highest)
    too_tough = np.asarray(toughness(standing, tough) > _spread(c.tough_limit))
    fit = ~(too_dry | too_damp | too_tough)
    return Window(fit, too_dry, too_damp, np.broadcast_to(too_tough, fit.shape))


def weathering(
    *, state: HourState, daily_loss: PerSecond, c: HourCoefficients
) -> Weathering:
    """What waiting and getting wet did to the crop; raises OutOfRange.

    Without delay and cycles it is nothing.
    """
    waited = economics.delay_loss(daily_loss, state.delay)
    return Weathering(
        preharvest=waited * c.delay_preharvest,
        stalk=waited * c.delay_stalk,
        shatter_factor=delay.weathered_shatter(state.wet_dry_cycles, c.cycle_shatter),
    )


def hour_effect(
    *, field: Field, stand: Stand, state: HourState, c: HourCoefficients, hours: Hours
) -> HourEffect:
    """What the hour, the day and the wait make of a field.

    ``field`` and ``stand`` are as sampled at the reading time of the usual day. In
    order, at that time of that day and without delay, nothing changes. Raises
    OutOfRange.
    """
    here, read = (
        through_day(
            day=hours.days[key], isotherm=hours.isotherm, lodging=field.lodging, c=c
        )
        for key in (state.day, hours.usual)
    )
    step = hours.days[state.day].length / MOMENTS

    def told(sample: Ratio, here: Floats, read: Floats) -> Ratio:
        now = day_moisture.at_hour(here, state.hour, step)
        then = day_moisture.at_hour(read, c.reading_time, step)
        return day_moisture.swung_moisture(sample, now, then)

    humidity = day_moisture.at_hour(here.humidity, state.hour, step)
    waited = weathering(state=state, daily_loss=hours.daily_loss, c=c)
    return HourEffect(
        moisture=told(
            field.moisture, whole_grain(here, read, c), whole_grain(read, read, c)
        ),
        stem_moisture=told(stand.stem_moisture, here.stem, read.stem),
        **waited._asdict(),
        temperature=day_moisture.at_hour(here.temperature, state.hour, step),
        humidity=humidity,
        dew=np.asarray(humidity >= c.dew_humidity),
    )


def as_met(field: Field, stand: Stand, effect: HourEffect) -> tuple[Field, Stand]:
    """Field and stand as the header meets them at the hour.

    Moistures are those of the hour, and what fell before the header is gone.
    ``stalk`` and ``shatter_factor`` are for the header's own losses.
    """
    met = replace(
        field,
        moisture=effect.moisture,
        crop_yield=field.crop_yield * (1.0 - effect.preharvest),
    )
    return met, replace(stand, stem_moisture=effect.stem_moisture)
