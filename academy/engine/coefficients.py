"""What the engine believes about crops and machines in general, as one frozen record.

No field has a default: every number comes from ``content/`` with its unit, evidence,
source and range. A field holds a float, or an array when the same record carries many
draws of what is not known well (``ensemble``).
"""

from dataclasses import dataclass

from academy.engine.si import (
    JoulePerKilogram,
    KilogramPerCubicMetre,
    KilogramPerMetre,
    Metre,
    MetrePerSecond,
    MoneyPerSquareMetre,
    Newton,
    PerMetre,
    Radian,
    Ratio,
    Second,
    SquareMetre,
    Watt,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Coefficients:
    """Coefficients of every relation that ``header.run`` joins, in SI."""

    # reel: grain knocked out by the bats
    shatter_amplitude: Ratio
    shatter_speed: MetrePerSecond  # entry speed at half the amplitude
    shatter_speed_width: MetrePerSecond
    shatter_moisture_slope: MetrePerSecond  # per unit of moisture
    reference_moisture: Ratio
    low_reel_shatter: Ratio  # extra share of shatter one height scale too low
    # reel: stalks cut and not carried in
    loose_amplitude: Ratio
    loose_decay: Ratio
    loose_lodging_decay: Ratio
    # reel: where it stands
    best_lead: Metre
    best_lead_lodged: Metre  # added in a fully lodged crop
    lead_scale: Metre
    reel_height_scale: Metre
    # knife
    bunched_coefficient: Ratio
    bunched_loss: Ratio
    ledger_width: Metre
    deflection_share: Ratio  # mean square of the deflection over its greatest, squared
    # following the ground
    reference_wavenumber: PerMetre
    bar_wavenumber: PerMetre  # the bar rides over anything shorter
    riding: Ratio  # how many spreads the bar rides above its setting
    digging_height: Metre
    digging_cost: MoneyPerSquareMetre
    bar_mass: KilogramPerMetre
    bump_amplitude: Metre
    bump_wavenumber: PerMetre
    # stubble and lodged stalks
    low_offset: Metre  # lowest grain hangs this far below its measured height
    low_spread: Metre
    pod_share: PerMetre
    lodged_share: PerMetre
    lodged_reel_relief: Ratio
    # ends
    divider_share: Ratio
    divider_width: Metre
    # belts and feed drum
    mat_density: KilogramPerCubicMetre
    mat_compression: Ratio
    stoppage_area: SquareMetre  # area per stoppage at slugging index 1
    stoppage_steepness: Ratio
    stoppage_time: Second
    plug_limit: Ratio
    # reel tines, direction only
    tine_reference: Radian
    tine_scale: Radian
    # combine
    feedrate_factor: Ratio
    base_power: Watt
    energy_per_mog: JoulePerKilogram
    travel_force: Newton
    # safety
    level_speed_limit: MetrePerSecond
    slope_speed_fall: MetrePerSecond  # per radian of slope
    least_slope_speed: MetrePerSecond
    # crops that bear their grain in heads; last, so that older draws stay as they were
    head_share: Ratio  # of the grain, borne in heads; 0 for a crop with pods
    late_share: Ratio  # of it, in the low heads of late tillers
    head_drop: Metre  # main heads nod this far below the top of the crop
    head_spread: Metre
    straw_left: Ratio  # share of the straw left by a cut at the top of the crop
    # following the ground: what a bar over drawn ground leaves of closed forms, squared
    gap_left: Ratio
    lag_left: Ratio
    short_left: Ratio
