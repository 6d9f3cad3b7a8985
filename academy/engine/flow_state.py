"""Belts, feed drum and clutch as found, and what is believed of the flow of crop."""

from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np

from academy.engine import guard
from academy.engine.si import (
    KilogramPerSquareMetre,
    Metre,
    MetrePerSecond,
    MetrePerSquareSecond,
    Newton,
    Radian,
    RadianPerSecond,
    Ratio,
    Second,
)

# A plate at each side of the opening that holds back crop from the side belts.
Deflector: TypeAlias = Literal["off", "on"]


@dataclass(frozen=True, slots=True, kw_only=True)
class FlowState:
    """What one finds, or sets, between the knife and the feeder house."""

    # of the tension at the middle of the marks
    left_front_tension: Ratio
    left_rear_tension: Ratio
    right_front_tension: Ratio
    right_rear_tension: Ratio
    belt_age: Second  # running time of the belts when tension was last set
    since_tension: Second  # running time since then
    roller_fouling: Ratio  # drive rollers: 0 clean and dry, 1 wet or caked
    left_roller_drag: Newton  # of rollers that do not turn freely
    right_roller_drag: Newton
    left_seal_gap: Metre  # between belt and bar
    right_seal_gap: Metre
    left_crop: Ratio  # share of each side's width that brings crop
    right_crop: Ratio
    drum_rate: RadianPerSecond
    finger_timing: Ratio  # −1 withdrawn soonest, 0 middle, 1 latest
    clutch_setting: Ratio  # of the torque at which it should slip
    deflector: Deflector


@dataclass(frozen=True, slots=True, kw_only=True)
class FlowCoefficients:
    """What is believed of belts, feed drum and crossing over."""

    # side belts
    mark_tension: Newton  # slack-side tension at the middle of the marks
    mark_low: Ratio
    mark_high: Ratio
    belt_stretch: Ratio
    stretch_time: Second
    roller_friction: Ratio
    fouled_friction: Ratio  # share of the friction that a fouled roller loses
    roller_wrap: Radian
    belt_mass: KilogramPerSquareMetre
    bed_friction: Ratio
    belt_scraping: Newton
    bearing_drag: Ratio  # of tension beyond the marks
    slip_steepness: Ratio
    stall_slip: Ratio
    walk_gain: Metre
    walk_free: Metre
    seal_free_gap: Metre
    seal_rub_gap: Metre
    seal_gap_scale: Metre
    seal_leak: Ratio
    # centre
    belt_drop: Metre
    centre_belt_speed: MetrePerSecond
    deflector_hold: Ratio
    crossing_loss: Ratio
    crossing_stoppages: Ratio
    # feed drum
    drum_grip: Ratio
    middle_toughness: Ratio
    middle_stem: Metre
    timing_by_toughness: Ratio
    timing_by_stem: Ratio
    timing_tolerance: Ratio
    slug_by_timing: Ratio
    carry_by_fling: Ratio
    drum_wrap_level: Ratio
    drum_wrap_moisture: Ratio
    drum_wrap_by_moisture: Ratio
    drum_wrap_by_turns: Ratio
    drum_wrap_by_weeds: Ratio
    wrap_stoppages: Ratio
    clutch_at_plug: Ratio


@dataclass(frozen=True, slots=True, kw_only=True)
class Mouth:
    """The opening of a header and its drum, and the pull of the earth there."""

    opening: Metre  # between the side belts
    drum_diameter: Metre
    slowest_drum: RadianPerSecond
    gravity: MetrePerSquareSecond


_FRACTIONS = ("roller_fouling", "left_crop", "right_crop")
_FROM_ZERO = (
    *("left_front_tension", "left_rear_tension"),
    *("right_front_tension", "right_rear_tension"),
    *("belt_age", "since_tension", "left_roller_drag", "right_roller_drag"),
    *("left_seal_gap", "right_seal_gap", "clutch_setting"),
)


def check(state: FlowState) -> None:
    """Refuse a state that cannot be; raises OutOfRange."""
    for name in _FRACTIONS:
        guard.fraction(name, getattr(state, name))
    for name in _FROM_ZERO:
        guard.not_negative(name, getattr(state, name))
    guard.positive("drum_rate", state.drum_rate)
    guard.fraction("finger_timing", np.abs(np.asarray(state.finger_timing)))
