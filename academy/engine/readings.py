"""What a run of the engine returns: readings in SI, each a float or an array."""

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from academy.engine.si import (
    KilogramPerSecond,
    Metre,
    MetrePerSecond,
    MoneyPerSquareMetre,
    NewtonPerMetre,
    Ratio,
    SquareMetrePerSecond,
)

Flags: TypeAlias = NDArray[np.bool_] | np.bool_ | bool

# lost at reel, knife and ends, before anything reaches the belts
GATHERED = ("shatter", "loose_stalk", "knife", "stubble", "lodged", "divider")
LOSS_PIECES = (*GATHERED, "belt_leak", "crossing_over", "processing")


@dataclass(frozen=True, slots=True, kw_only=True)
class Readings:
    """Losses, positions, flow, money and violations of one run.

    The pieces of ``LOSS_PIECES`` are shares of the standing crop; they add up to
    ``total_loss`` exactly, and all but ``processing`` to ``header_loss``.
    """

    shatter: Ratio
    loose_stalk: Ratio
    knife: Ratio
    stubble: Ratio
    lodged: Ratio
    divider: Ratio
    belt_leak: Ratio
    crossing_over: Ratio
    processing: Ratio
    total_loss: Ratio
    header_loss: Ratio
    reel_index: Ratio
    entry_speed: MetrePerSecond
    sweep_speed: MetrePerSecond
    entry_axle_height: Metre
    axle_error: Metre  # axle over its entry height; negative is too low
    finger_gap: Metre  # tine tips over the bar in its raised position
    carry_tendency: Ratio  # above 0 tines hold on too long, below 0 too short
    advance_per_stroke: Metre
    bunched: Ratio
    true_cut_height: Metre
    cut_height_spread: Metre
    digging: Ratio  # share of the way on which the bar digs in
    ground_force: NewtonPerMetre  # least force over bumps; below 0 contact is lost
    contact_loss_speed: MetrePerSecond
    mat_depth: Metre
    slugging_index: Ratio
    mog_feedrate: KilogramPerSecond
    engine_load: Ratio
    area_rate: SquareMetrePerSecond
    machine_cost: MoneyPerSquareMetre
    loss_cost: MoneyPerSquareMetre
    stoppage_cost: MoneyPerSquareMetre
    soil_cost: MoneyPerSquareMetre
    cost: MoneyPerSquareMetre
    violations: dict[str, Flags]
