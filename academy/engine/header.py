"""A header at work: every subsystem joined into one run, in SI.

Crop meets dividers, reel, knife and drum in that order; what one stage loses never
reaches the next, so the pieces of the loss are shares of the standing crop and add up.
"""

from collections.abc import Callable, Mapping
from typing import NamedTuple, TypeAlias

import numpy as np

from academy.engine import (
    bar,
    capacity,
    cutting_pattern,
    divider,
    draper,
    drum,
    economics,
    ground,
    knife,
    lodging,
    processing,
    reel,
    stubble,
)
from academy.engine.coefficients import Coefficients
from academy.engine.conditions import Field, Machine, Settings
from academy.engine.readings import GATHERED, LOSS_PIECES, Flags, Readings
from academy.engine.si import (
    KilogramPerSecond,
    Metre,
    MetrePerSecond,
    MoneyPerSquareMetre,
    Number,
    Ratio,
)

__all__ = ["LOSS_PIECES", "Field", "Machine", "Readings", "Settings", "run"]

# An engine: of a header in good order, or of a whole header in the state it is in.
Run: TypeAlias = Callable[[Field, Machine, Settings, Coefficients], Readings]


class ReelStage(NamedTuple):
    """What the reel does."""

    reel_index: Ratio
    entry_speed: MetrePerSecond
    sweep_speed: MetrePerSecond
    entry_axle_height: Metre
    axle_error: Metre
    finger_gap: Metre
    carry_tendency: Ratio


class CutStage(NamedTuple):
    """What the knife leaves."""

    advance_per_stroke: Metre
    bunched: Ratio
    true_cut_height: Metre
    cut_height_spread: Metre
    digging: Ratio


def reel_stage(field: Field, m: Machine, s: Settings, c: Coefficients) -> ReelStage:
    """Index, speeds and place of the reel; the first stage of ``run``."""
    index = reel.reel_index(m.reel_tip_radius, s.reel_rate, s.ground_speed)
    entry = reel.entry_axle_height(
        field.crop_height, s.cut_height, m.reel_tip_radius, index
    )
    return ReelStage(
        reel_index=index,
        entry_speed=reel.entry_speed(s.ground_speed, index),
        sweep_speed=reel.sweep_speed(s.ground_speed, index),
        entry_axle_height=entry,
        axle_error=s.reel_height - entry,
        finger_gap=s.reel_height - m.reel_tip_radius - m.bar_rise,
        carry_tendency=(s.tine_pitch - c.tine_reference) / c.tine_scale,
    )


def _lag(field: Field, m: Machine, s: Settings, c: Coefficients) -> Metre:
    """What wheels or height control do not follow of the ground."""
    rough, reference = field.ground_roughness, c.reference_wavenumber
    if m.carried == "wheels":
        return ground.wheel_residual(rough, m.wheel_base, reference)
    if m.carried == "ground" and m.build == "hinged":
        return 0.0  # its sections lie on the ground, whatever their frame does
    return ground.tracking_residual(
        rough, s.ground_speed, m.control_bandwidth, reference
    )


def _spread(field: Field, m: Machine, s: Settings, c: Coefficients) -> Metre:
    """Spread of the true cut height: closed forms, fitted to a bar over drawn ground.

    ``√(flexed(√(a gap² + b lag²))² + c short²)``, within 7 % of ``ground_following``
    over smooth to rough ground, 0.9 to 2.7 m/s, 7.6 to 12.2 m, rigid to flexible and
    hinged, on the ground and off it (``tests/scenarios/test_fast_spread.py``).
    """
    rough, reference = field.ground_roughness, c.reference_wavenumber
    lag = _lag(field, m, s, c)
    gap = ground.rigid_bar_gap(rough, m.width / m.sections, reference)
    frame: Metre = np.sqrt(c.gap_left * (gap * gap) + c.lag_left * (lag * lag))
    if m.carried == "ground":  # off the ground nothing pushes the bar up to flex
        frame = bar.flexed_gap(frame, m.bar_travel)
    short = reference * reference * rough / c.bar_wavenumber
    spread: Metre = np.sqrt(frame * frame + c.short_left * short)
    return spread


def cut_stage(field: Field, m: Machine, s: Settings, c: Coefficients) -> CutStage:
    """Advance, bunching and true height of the cut; the second stage of ``run``."""
    advance = knife.advance_per_stroke(s.ground_speed, m.stroke_rate)
    bunched = cutting_pattern.bunched_share(
        advance,
        m.knife_edge * (m.knife_stroke / m.knife_pitch),  # of all that pass a gap
        c.bunched_coefficient * m.bunched_ratio,
    )
    aside = m.knife_pitch - c.ledger_width * m.ledger_ratio
    square = (1.0 - bunched) * (aside * aside) + bunched * (advance * advance)
    spread = _spread(field, m, s, c)
    ridden = c.riding * spread if m.carried == "ground" else 0.0
    return CutStage(
        advance_per_stroke=advance,
        bunched=bunched,
        true_cut_height=knife.stubble_length(
            s.cut_height + ridden, np.sqrt(c.deflection_share * square)
        ),
        cut_height_spread=spread,
        digging=bar.digging_share(s.cut_height, c.digging_height, spread),
    )


def _shatter(field: Field, r: ReelStage, c: Coefficients) -> Ratio:
    blows = reel.shatter_share(
        r.entry_speed,
        field.moisture,
        c.shatter_amplitude,
        c.shatter_speed,
        c.shatter_speed_width,
        c.shatter_moisture_slope,
        c.reference_moisture,
    )
    low = np.minimum(r.axle_error, 0.0) / c.reel_height_scale
    share: Ratio = -np.expm1(np.log1p(-blows) * (1.0 + c.low_reel_shatter * low * low))
    return share


def _loose_stalk(field: Field, s: Settings, r: ReelStage, c: Coefficients) -> Ratio:
    best_lead = c.best_lead + c.best_lead_lodged * field.lodging
    return reel.not_carried_share(
        r.reel_index,
        field.lodging,
        c.loose_amplitude,
        c.loose_decay,
        c.loose_lodging_decay,
        s.reel_lead - best_lead,
        c.lead_scale,
        r.axle_error,
        c.reel_height_scale,
    )


def _stubble(field: Field, cut: CutStage, c: Coefficients) -> Ratio:
    height, rough = cut.true_cut_height, cut.cut_height_spread**2
    spread = np.sqrt(c.low_spread * c.low_spread + rough)
    lowest = field.lowest_grain - c.low_offset
    pods = stubble.stubble_share(height, lowest, spread, c.pod_share)
    if not (c.head_share if isinstance(c.head_share, float) else c.head_share.any()):
        return pods  # a crop without heads
    late = c.late_share * stubble.head_share(height, lowest, spread)
    heads = field.crop_height - c.head_drop
    spread = np.sqrt(c.head_spread * c.head_spread + rough)
    main: Ratio = (c.head_share - c.late_share) * stubble.head_share(
        height, heads, spread
    )
    return pods + late + main


def _lodged(field: Field, r: ReelStage, cut: CutStage, c: Coefficients) -> Ratio:
    relief = np.exp(c.lodged_reel_relief * (1.0 - r.reel_index))
    return lodging.lodged_share(
        field.lodging, cut.true_cut_height, c.lodged_share * relief
    )


def shares(
    field: Field,
    m: Machine,
    s: Settings,
    c: Coefficients,
    r: ReelStage,
    cut: CutStage,
    mog_feedrate: KilogramPerSecond,
) -> dict[str, Ratio]:
    """What each stage loses of the crop that reaches it, in the order of the flow."""
    return {
        "divider": divider.divider_share(c.divider_share, c.divider_width, m.width),
        "shatter": _shatter(field, r, c),
        "lodged": _lodged(field, r, cut, c),
        "stubble": _stubble(field, cut, c),
        "knife": knife.knife_share(cut.bunched, c.bunched_loss),
        "loose_stalk": _loose_stalk(field, s, r, c),
        "processing": processing.processing_share(
            mog_feedrate,
            m.feedrate_at_1 * c.feedrate_factor,
            m.feedrate_at_3 * c.feedrate_factor,
        ),
    }


def in_turn(shares: Mapping[str, Ratio]) -> dict[str, Ratio]:
    """Shares of the standing crop, from what each stage loses of what reaches it.

    What one stage loses never reaches the next: the pieces add up to
    ``1 − Π(1 − Lᵢ)`` [mass-balance].
    """
    left: Ratio = 1.0
    pieces: dict[str, Ratio] = {}
    for name, share in shares.items():
        pieces[name] = left * share
        left = left - pieces[name]
    return pieces


def flow_stage(
    field: Field, m: Machine, s: Settings, c: Coefficients
) -> dict[str, Number]:
    """Mat, feedrate, engine load and area rate; the third stage of ``run``."""
    straw = processing.straw_taken(
        field.mog_ratio, s.cut_height, field.crop_height, c.straw_left
    )
    depth = draper.mat_depth(
        field.crop_yield * (1.0 + straw),
        s.ground_speed,
        m.side_width,
        c.mat_density,
        s.belt_speed,
        m.belt_depth,
    )
    feedrate = processing.mog_feedrate(s.ground_speed, m.width, field.crop_yield, straw)
    power = capacity.rotary_power(c.base_power, c.energy_per_mog, feedrate)
    return {
        "mat_depth": depth,
        "slugging_index": drum.slugging_index(depth, c.mat_compression, m.feed_gap),
        "mog_feedrate": feedrate,
        "engine_load": capacity.engine_load(
            power + c.travel_force * s.ground_speed, m.engine_power
        ),
        "area_rate": capacity.field_capacity(
            m.width, s.ground_speed, m.field_efficiency
        ),
    }


def float_stage(s: Settings, c: Coefficients) -> dict[str, Number]:
    """How the bar lies on the ground; moves no loss."""
    return {
        "ground_force": bar.least_ground_force(
            s.float_force,
            c.bar_mass,
            c.bump_amplitude,
            c.bump_wavenumber,
            s.ground_speed,
        ),
        "contact_loss_speed": ground.contact_loss_speed(
            s.float_force, c.bar_mass, c.bump_amplitude, c.bump_wavenumber
        ),
    }


def costs(
    field: Field,
    m: Machine,
    c: Coefficients,
    flow: dict[str, Number],
    digging: Ratio,
    total_loss: Ratio,
) -> dict[str, MoneyPerSquareMetre]:
    """Cost per area by what causes it, and in all."""
    stoppages = drum.stoppages_per_area(
        flow["slugging_index"], 1.0 / c.stoppage_area, c.stoppage_steepness
    )
    machine = economics.machine_cost_per_area(m.hour_cost, flow["area_rate"])
    stopped = economics.stoppage_cost(stoppages, c.stoppage_time, m.hour_cost)
    lost = field.grain_price * field.crop_yield * total_loss
    soil = c.digging_cost * digging
    return {
        "machine_cost": machine,
        "loss_cost": lost,
        "stoppage_cost": stopped,
        "soil_cost": soil,
        "cost": machine + lost + stopped + soil,
    }


def violations(
    field: Field,
    m: Machine,
    s: Settings,
    c: Coefficients,
    r: ReelStage,
    flow: dict[str, Number],
) -> dict[str, Flags]:
    """Which hard limits are broken, by name."""
    limit = c.level_speed_limit - c.slope_speed_fall * field.slope
    return {
        "fingers_too_near": r.finger_gap < m.least_finger_gap,
        "plug_up": flow["slugging_index"] > c.plug_limit,
        "over_power": flow["engine_load"] > 1.0,
        "cannot_sense": m.carried == "sensing" and not m.senses_off_ground,
        "too_fast_for_slope": s.ground_speed > np.maximum(limit, c.least_slope_speed),
    }


def run(
    field: Field, machine: Machine, settings: Settings, coefficients: Coefficients
) -> Readings:
    """Readings of a header at work, from its field, machine and settings.

    What is lost where, what the day costs, and which hard limits are broken.

    Parameters
    ----------
    field : crop and ground of this hour
    machine : header and combine
    settings : what is set; numbers or arrays
    coefficients : what is believed of crops and machines; numbers or arrays

    Returns
    -------
    readings, each a number or an array of the shape the inputs broadcast to

    Raises
    ------
    OutOfRange : when an input lies where it cannot be

    Notes
    -----
    Stages lose in the order divider, shatter, lodged, stubble, knife, loose stalk,
    processing; belts in good order, fed over their whole length, lose nothing
    (``whole_header`` takes others). ``total = 1 − Π(1 − Lᵢ)`` [mass-balance]. The total
    is the sum of the pieces. Float force and tine pitch move no loss: only their
    direction is known.
    """
    r = reel_stage(field, machine, settings, coefficients)
    cut = cut_stage(field, machine, settings, coefficients)
    flow = flow_stage(field, machine, settings, coefficients)
    pieces = in_turn(
        shares(field, machine, settings, coefficients, r, cut, flow["mog_feedrate"])
    )
    header_loss: Ratio = sum(pieces[name] for name in GATHERED)
    total_loss = header_loss + pieces["processing"]
    return Readings(
        **pieces,
        belt_leak=0.0,
        crossing_over=0.0,
        header_loss=header_loss,
        total_loss=total_loss,
        **r._asdict(),
        **cut._asdict(),
        **flow,
        **float_stage(settings, coefficients),
        **costs(field, machine, coefficients, flow, cut.digging, total_loss),
        violations=violations(field, machine, settings, coefficients, r, flow),
    )
