"""What a run of the engine starts from: field, machine and settings, in SI.

Each number is a float or an array; all of them broadcast together as numpy does.
"""

from dataclasses import dataclass
from typing import Literal, TypeAlias

from academy.engine.si import (
    Count,
    CubicMetre,
    KilogramPerSecond,
    KilogramPerSquareMetre,
    Metre,
    MetrePerSecond,
    MoneyPerKilogram,
    MoneyPerSecond,
    NewtonPerMetre,
    PerSecond,
    Radian,
    RadianPerSecond,
    Ratio,
    Watt,
)

# On the ground; off it on gauge wheels; off it by the sensing of its height alone.
Carried: TypeAlias = Literal["ground", "wheels", "sensing"]
# One stiff piece; three stiff sections that pivot on two hinges; one that bends.
Build: TypeAlias = Literal["rigid", "hinged", "flexible"]
# Height sensors all along the bar, one at each end of it (of each section, where the
# frame is hinged), or a single one in its middle.
Sensed: TypeAlias = Literal["whole", "ends", "centre"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """The crop and the ground of this hour."""

    crop_yield: KilogramPerSquareMetre
    crop_height: Metre  # top of the crop as it stands now, lodged or not
    moisture: Ratio  # of the grain, wet basis
    lodging: Ratio  # share of the crop that lies down
    lowest_grain: Metre  # lowest pod, or late head, on a plant held upright
    mog_ratio: Ratio
    ground_roughness: CubicMetre
    slope: Radian
    grain_price: MoneyPerKilogram


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """A header and the combine that carries it."""

    width: Metre
    reel_tip_radius: Metre
    reel_bats: Count
    knife_pitch: Metre  # from one section to the next
    knife_stroke: Metre
    knife_edge: Metre
    bunched_ratio: Ratio  # stems bunched at very long advance, of standard sections'
    ledger_ratio: Ratio  # width of the ledger, of that of standard sections
    stroke_rate: PerSecond
    build: Build
    sensed: Sensed
    sections: Ratio  # rigid bars end to end that leave its gap; 1 for one in one piece
    bar_travel: Metre  # 0 for a bar that does not flex
    control_bandwidth: PerSecond
    belt_depth: Metre
    side_width: Metre
    feed_gap: Metre
    least_finger_gap: Metre
    bar_rise: Metre  # how far a flexing bar can come up
    feedrate_at_1: KilogramPerSecond
    feedrate_at_3: KilogramPerSecond
    engine_power: Watt
    hour_cost: MoneyPerSecond
    field_efficiency: Ratio
    wheel_base: Metre  # from the gauge wheels to the wheels of the combine
    senses_off_ground: bool  # without gauge wheels
    carried: Carried


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """What the person in the cab, or at the header, has set."""

    ground_speed: MetrePerSecond
    reel_rate: RadianPerSecond
    reel_height: Metre  # axle over the knife
    reel_lead: Metre  # axle ahead of the knife
    cut_height: Metre
    float_force: NewtonPerMetre
    belt_speed: MetrePerSecond
    tine_pitch: Radian
