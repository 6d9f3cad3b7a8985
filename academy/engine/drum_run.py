"""The feed drum as it is set, against the crop that is brought to it."""

from typing import NamedTuple

import numpy as np

from academy.engine import drum, feeding
from academy.engine.si import KilogramPerSecond, Metre, MetrePerSecond, Ratio, Watt
from academy.engine.side_belt import Site
from academy.engine.stand import Stand


class DrumRun(NamedTuple):
    """What the drum does."""

    factor: Ratio  # of the slugging index, 1 when it clears and holds the crop
    carry_over: Ratio
    bunching: Ratio  # fingers withdrawn too early
    fling: Ratio
    wrap: Ratio
    wraps: Ratio  # the same where a stem can go round at all, else 0
    power: Watt
    extra_power: Watt  # beyond the slowest speed


def _clearing(site: Site, flow: KilogramPerSecond) -> MetrePerSecond:
    return feeding.clearing_speed(
        flow,
        site.coefficients.mat_density,
        site.coefficients.mat_compression,
        site.machine.feed_gap,
        site.mouth.opening,
        site.c.drum_grip,
    )


def _late(site: Site, toughness: Ratio, stem_length: Metre) -> Ratio:
    """How much later than the crop asks the fingers withdraw."""
    c = site.c
    late: Ratio = site.state.finger_timing - feeding.needed_timing(
        toughness,
        stem_length,
        c.middle_toughness,
        c.middle_stem,
        c.timing_by_toughness,
        c.timing_by_stem,
    )
    return late


def _wrap(site: Site, stand: Stand, turns: Ratio) -> Ratio:
    c = site.c
    return feeding.wrap_risk(
        stand.stem_moisture,
        turns,
        stand.weeds,
        c.drum_wrap_level,
        c.drum_wrap_moisture,
        c.drum_wrap_by_moisture,
        c.drum_wrap_by_turns,
        c.drum_wrap_by_weeds,
    )


def run(
    site: Site,
    flow: KilogramPerSecond,
    stem_length: Metre,
    stand: Stand,
    toughness: Ratio,
) -> DrumRun:
    """The drum at work on the crop of both belts."""
    c, mouth = site.c, site.mouth
    speed = feeding.tip_speed(mouth.drum_diameter, site.state.drum_rate)
    slowest = feeding.tip_speed(mouth.drum_diameter, mouth.slowest_drum)
    clearing = _clearing(site, flow)
    fling = feeding.fling_tendency(speed, np.maximum(clearing, slowest), toughness)
    late = _late(site, toughness, stem_length)
    bunching = np.maximum(-late - c.timing_tolerance, 0.0)
    held_on = np.maximum(late - c.timing_tolerance, 0.0)
    turns = drum.wrap_turns(stem_length, mouth.drum_diameter)
    wrap = _wrap(site, stand, turns)
    can = np.maximum(np.asarray(turns) > 1.0, np.asarray(stand.weeds) > 0.0)
    return DrumRun(
        factor=np.maximum(clearing / speed, 1.0) * (1.0 + c.slug_by_timing * bunching),
        carry_over=held_on + c.carry_by_fling * fling,
        bunching=bunching,
        fling=fling,
        wrap=wrap,
        wraps=wrap * can,
        power=flow * speed * speed,
        extra_power=flow * np.maximum(speed * speed - slowest * slowest, 0.0),
    )
