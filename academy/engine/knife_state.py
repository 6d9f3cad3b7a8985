"""The knife as one finds it, and what is believed of knives."""

from dataclasses import dataclass
from typing import Literal, TypeAlias

from academy.engine.si import (
    Joule,
    Kelvin,
    KilogramPerMetre,
    KilogramPerSquareMetre,
    Metre,
    MetrePerSecond,
    NewtonPerMetre,
    Ratio,
    Second,
)

KnifeKind: TypeAlias = Literal["standard", "half-pitch", "alternating"]
Serration: TypeAlias = Literal["middle", "coarse", "fine"]


@dataclass(frozen=True, slots=True, kw_only=True)
class KnifeState:
    """What the knife is, how worn, and how it lies in its guards."""

    kind: KnifeKind
    serration: Serration
    wear: Ratio  # of the sections' edges: 0 sharp, 1 worn out
    hold_down_clearance: Metre
    vertical_play: Metre  # beside the clearance
    register: Metre  # how far to the right of the guards' middles strokes end
    stroke_share: Ratio  # strokes made, of those the drive should make
    run_time: Second  # since the hold-downs were set
    bearing_temperature: Kelvin  # the hottest one of the drive


@dataclass(frozen=True, slots=True, kw_only=True)
class KnifeCoefficients:
    """What is believed of knives, in SI."""

    # lying in the guards
    widest_clearance: Metre
    free_clearance: Metre
    fold_rate: Ratio
    fold_tough: Ratio
    fold_uncut: Ratio
    fold_drag: Ratio
    register_tolerance: Metre
    # edges
    dull_force: Ratio
    least_knife_speed: MetrePerSecond
    pull_rate: Ratio
    pull_tough: Ratio
    pull_shatter: Ratio
    pull_loss: Ratio
    serration_gain: Ratio
    serration_thickness: Metre
    serration_width: Metre
    # old stalks
    drag_residue: KilogramPerSquareMetre
    drag_height: Metre
    alternating_relief: Ratio
    drag_loss: Ratio
    # drive
    stem_work: Joule
    stem_reference: Metre
    stem_exponent: Ratio
    bar_friction: NewtonPerMetre
    knife_mass: KilogramPerMetre
    inertia_lost: Ratio
    row_distance: Metre
    row_band: Metre
    # heat
    tight_friction: Ratio
    tight_heat: Kelvin
    heat_time: Second
    clearly_hotter: Kelvin
    bearing_normal_low: Kelvin
    bearing_normal_high: Kelvin
    bearing_act: Kelvin
    bearing_stop: Kelvin
