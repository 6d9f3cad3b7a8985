"""The whole header: conservation, published advice, hard limits, directions."""

import math
from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from academy.engine import ensemble, search
from academy.engine.divider import divider_share
from academy.engine.header import LOSS_PIECES, run
from academy.engine.knife import knife_share
from academy.engine.processing import processing_share
from academy.errors import OutOfRange

INCH, FOOT, MPH, RPM = 0.0254, 0.3048, 0.44704, math.pi / 30
ACRE, HOUR = 4046.8564224, 3600.0
FLOW = (
    "divider",
    "shatter",
    "lodged",
    "stubble",
    "knife",
    "loose_stalk",
    "processing",
)
INDEXES = np.linspace(1.0, 2.6, 1601)


def at_index(field, machine, settings, index, mph):
    """Settings of a reel index at a speed, the reel standing at its entry height."""
    speed = mph * MPH
    height = field.crop_height - settings.cut_height + machine.reel_tip_radius / index
    rate = index * speed / machine.reel_tip_radius
    return replace(settings, ground_speed=speed, reel_rate=rate, reel_height=height)


def reel_loss(field, machine, settings, soybean, index, mph):
    at = at_index(field, machine, settings, index, mph)
    readings = run(field, machine, at, soybean.values)
    return readings.shatter + readings.loose_stalk


# --- conservation ---


def stages(readings):
    """Each stage's own share, worked back from the pieces in the order of the flow."""
    left, shares = 1.0, {}
    for name in FLOW:
        shares[name] = getattr(readings, name) / left
        left = left - getattr(readings, name)
    return shares


def test_pieces_add_up_to_the_total_exactly(field, machine, settings, soybean):
    r = run(field, machine, settings, soybean.values)
    *header_pieces, processing = (getattr(r, name) for name in LOSS_PIECES)
    assert r.header_loss == sum(header_pieces)
    assert r.total_loss == r.header_loss + processing


def test_what_one_stage_loses_never_reaches_the_next(field, machine, settings, soybean):
    r = run(field, machine, settings, soybean.values)
    c, shares = soybean.values, stages(r)
    kept = math.prod(1 - share for share in shares.values())
    assert r.total_loss == pytest.approx(1 - kept, abs=1e-12)
    # Three stages' own shares from their own formulas: the one that meets the whole
    # crop, one in the middle, and the last.
    assert shares["divider"] == pytest.approx(
        divider_share(c.divider_share, c.divider_width, machine.width), rel=1e-12
    )
    assert shares["knife"] == pytest.approx(
        knife_share(r.bunched, c.bunched_loss), rel=1e-12
    )
    assert shares["processing"] == pytest.approx(
        processing_share(r.mog_feedrate, machine.feedrate_at_1, machine.feedrate_at_3),
        rel=1e-12,
    )


@given(
    mph=st.floats(1, 7),
    rpm=st.floats(10, 60),
    height=st.floats(28, 60),
    lead=st.floats(4, 16),
    cut=st.floats(1, 8),
)
def test_no_setting_loses_more_than_the_crop(
    field, machine, settings, soybean, mph, rpm, height, lead, cut
):
    s = replace(
        settings,
        ground_speed=mph * MPH,
        reel_rate=rpm * RPM,
        reel_height=height * INCH,
        reel_lead=lead * INCH,
        cut_height=cut * INCH,
    )
    r = run(field, machine, s, soybean.values)
    assert all(getattr(r, name) >= 0 for name in LOSS_PIECES)
    assert 0 < r.total_loss <= 1 + 1e-12
    assert math.isfinite(r.cost)


def test_cost_is_the_sum_of_its_four_parts(field, machine, settings, soybean):
    r = run(field, machine, settings, soybean.values)
    parts = r.machine_cost + r.loss_cost + r.stoppage_cost + r.soil_cost
    assert r.cost == pytest.approx(parts, rel=1e-14)


# --- figures worked by hand or printed ---


def test_forty_feet_at_six_mph_cover_the_printed_area(
    field, machine, settings, soybean, printed
):
    # Iowa State University PM 696: 40 ft, 6 mph, 70 % -> 20.4 ac/h.
    r = run(field, machine, replace(settings, ground_speed=6 * MPH), soybean.values)
    assert r.area_rate / ACRE * HOUR == printed("20.4")
    # $300/h over 6 × 40 × 0.7/8.25 = 20.3636 ac/h is $14.732 per acre.
    assert r.machine_cost * ACRE == pytest.approx(14.732, abs=0.001)


def test_a_42_inch_reel_at_36_rpm_and_3_mph_stands_at_index_1_5(
    field, machine, settings, soybean, printed
):
    # Iowa State University in the farm press, 2005.
    s = replace(settings, ground_speed=3 * MPH, reel_rate=36 * RPM)
    assert run(field, machine, s, soybean.values).reel_index == printed("1.5")


def test_axle_error_is_the_distance_from_the_entry_height(
    field, machine, settings, soybean
):
    # 36 in crop, knife at 2 in, 21 in radius, index 1.5: 36 − 2 + 14 = 48 in.
    s = at_index(field, machine, replace(settings, cut_height=2 * INCH), 1.5, 3)
    s = replace(s, reel_height=50 * INCH)
    r = run(field, machine, s, soybean.values)
    assert r.entry_axle_height == pytest.approx(48 * INCH)
    assert r.axle_error == pytest.approx(2 * INCH)


def test_mat_and_slugging_by_hand(field, machine, settings, soybean):
    # q = 0.33625 × 2 = 0.67251 kg/m²; δ = q × 1.78816 m/s × 6.096 m
    #   / (15 kg/m³ × 2.8 m/s × 1.0414 m) = 7.33085/43.7388 = 0.16761 m;
    # s = δ/(4.5 × 0.062) = 0.60074.
    r = run(field, machine, replace(settings, ground_speed=4 * MPH), soybean.values)
    assert r.mat_depth == pytest.approx(0.1676, abs=1e-4)
    assert r.slugging_index == pytest.approx(0.6007, abs=3e-4)


# --- anchors of the reel loss ---
# The curve was calibrated on these, so they show the calibration, not its truth.


@pytest.mark.parametrize(
    ("mph", "index", "slack"),
    [
        (3.0, 1.375, 0.125),  # Iowa State (Hanna), Missouri G1280: 1.25 to 1.5
        (5.0, 1.25, 0.10),  # Missouri's cap of 1.25; that it holds at 5 mph: judgement
    ],
)
def test_least_reel_loss_stands_at_the_advised_index(
    field, machine, settings, soybean, mph, index, slack
):
    loss = reel_loss(field, machine, settings, soybean, INDEXES, mph)
    assert INDEXES[loss.argmin()] == pytest.approx(index, abs=slack)


def test_least_reel_loss_in_lodged_crop_stands_near_two(
    field, machine, settings, soybean
):
    # Iowa State (Hanna): about 2; 1.9 ± 0.2 at 2.75 mph is our reading of it.
    lodged = replace(field, lodging=1.0)
    loss = reel_loss(lodged, machine, settings, soybean, INDEXES, 2.75)
    assert INDEXES[loss.argmin()] == pytest.approx(1.9, abs=0.2)


@pytest.mark.parametrize(
    ("index", "mph", "percent", "slack"),
    [
        (1.40, 3.0, 0.75, 0.4),  # University of Nebraska 2010: achievable shatter
        (2.00, 4.0, 5.0, 1.0),  # Missouri G1280's ordinary 5 %; where: judgement
        (1.00, 3.0, 3.0, 1.0),  # judgement
    ],
)
def test_reel_loss_at_its_anchors(
    field, machine, settings, soybean, index, mph, percent, slack
):
    loss = reel_loss(field, machine, settings, soybean, index, mph)
    assert 100 * loss == pytest.approx(percent, abs=slack)


def test_ten_per_cent_moisture_nearly_doubles_the_reel_loss(
    field, machine, settings, soybean
):
    # × 1.8 ± 0.3 is a judgement; only the direction is published (MSU E3487).
    ordinary = reel_loss(field, machine, settings, soybean, 1.375, 3.0)
    dry = reel_loss(
        replace(field, moisture=0.10), machine, settings, soybean, 1.375, 3.0
    )
    assert dry / ordinary == pytest.approx(1.8, abs=0.3)


# --- best settings against published advice ---


def best_of(field, machine, settings, controls, soybean):
    found = search.best(field, machine, settings, controls, soybean.values)
    return found.settings, run(field, machine, found.settings, soybean.values)


def test_best_settings_of_ordinary_soybean_are_the_advised_ones(
    field, machine, settings, controls, soybean
):
    s, r = best_of(field, machine, settings, controls, soybean)
    assert 2.0 <= s.ground_speed / MPH <= 5.0  # ASABE D497: combines, 2 to 5 mph
    assert 1.25 <= r.reel_index <= 1.5  # Iowa State (Hanna)
    assert 8 <= round(s.reel_lead / INCH) <= 12  # Iowa State (Hanna)
    assert 0.02 <= r.header_loss <= 0.04  # Nebraska's 2.5 %; 1–2 bu/ac in Michigan


def test_lodged_crop_wants_a_higher_index_and_a_lower_reel(
    field, machine, settings, controls, soybean
):
    standing, r = best_of(field, machine, settings, controls, soybean)
    down = replace(field, lodging=0.7, crop_height=0.6)
    lodged, q = best_of(down, machine, settings, controls, soybean)
    assert r.reel_index + 0.2 < q.reel_index < 2.1
    assert lodged.reel_height < standing.reel_height
    assert lodged.ground_speed < standing.ground_speed


def test_dry_crop_wants_a_slower_reel(field, machine, settings, controls, soybean):
    ordinary, r = best_of(field, machine, settings, controls, soybean)
    dry, q = best_of(
        replace(field, moisture=0.10), machine, settings, controls, soybean
    )
    assert q.reel_index < r.reel_index
    assert dry.reel_rate < ordinary.reel_rate


def test_rough_ground_wants_a_higher_cut(field, machine, settings, controls, soybean):
    smooth = replace(field, ground_roughness=256e-6)
    rough = replace(field, ground_roughness=4096e-6)
    low = best_of(smooth, machine, settings, controls, soybean)[0]
    high = best_of(rough, machine, settings, controls, soybean)[0]
    assert 1 * INCH < low.cut_height < high.cut_height < 4 * INCH


# --- hard limits ---


def test_tines_two_inches_over_the_raised_bar_are_just_allowed(
    field, machine, settings, soybean
):
    # Iowa State (Hanna): no nearer than 2 in. 21 in radius + 6.5 in rise + 2 in.
    just = replace(settings, reel_height=29.51 * INCH)
    near = replace(settings, reel_height=29.49 * INCH)
    allowed = run(field, machine, just, soybean.values).violations
    refused = run(field, machine, near, soybean.values).violations
    assert not allowed["fingers_too_near"]
    assert refused["fingers_too_near"]


def test_a_steep_slope_allows_less_speed(field, machine, settings, soybean):
    fast = replace(settings, ground_speed=5 * MPH)
    steep = replace(field, slope=0.15)
    assert not run(field, machine, fast, soybean.values).violations[
        "too_fast_for_slope"
    ]
    assert run(steep, machine, fast, soybean.values).violations["too_fast_for_slope"]


def test_a_crawling_belt_plugs_and_a_small_engine_stalls(
    field, machine, settings, soybean
):
    slow = run(field, machine, replace(settings, belt_speed=0.5), soybean.values)
    assert slow.violations["plug_up"]
    weak = replace(machine, engine_power=50e3)
    stalled = run(field, weak, settings, soybean.values)
    assert stalled.violations["over_power"]
    assert not any(run(field, machine, settings, soybean.values).violations.values())


# --- directions ---


def test_float_and_tine_pitch_move_no_money(field, machine, settings, soybean):
    base = run(field, machine, settings, soybean.values)
    turned = run(
        field,
        machine,
        replace(settings, float_force=350.0, tine_pitch=0.3),
        soybean.values,
    )
    assert turned.cost == base.cost
    assert turned.total_loss == base.total_loss
    assert turned.ground_force > base.ground_force
    assert turned.contact_loss_speed > base.contact_loss_speed
    assert turned.carry_tendency > base.carry_tendency


def test_belt_speed_moves_only_the_mat_and_what_follows_from_it(
    field, machine, settings, soybean
):
    slow = run(field, machine, replace(settings, belt_speed=1.4), soybean.values)
    fast = run(field, machine, replace(settings, belt_speed=2.8), soybean.values)
    assert slow.mat_depth == pytest.approx(2 * fast.mat_depth)
    assert slow.slugging_index == pytest.approx(2 * fast.slugging_index)
    assert slow.stoppage_cost > fast.stoppage_cost
    assert slow.total_loss == fast.total_loss


def test_contact_is_just_lost_where_the_ground_force_ends(
    field, machine, settings, soybean
):
    limit = run(field, machine, settings, soybean.values).contact_loss_speed
    at = run(field, machine, replace(settings, ground_speed=limit), soybean.values)
    assert at.ground_force == pytest.approx(0.0, abs=1e-9)


def test_standing_crop_has_no_lodged_loss_and_width_halves_the_ends(
    field, machine, settings, soybean
):
    base = run(field, machine, settings, soybean.values)
    wide = run(
        field, replace(machine, width=2 * machine.width), settings, soybean.values
    )
    assert base.lodged == 0.0
    assert wide.divider == pytest.approx(base.divider / 2)


def test_a_rigid_bar_cuts_less_evenly_and_leaves_more(
    field, machine, settings, soybean
):
    flexed = run(field, machine, settings, soybean.values)
    rigid = run(field, replace(machine, bar_travel=0.0), settings, soybean.values)
    assert rigid.cut_height_spread > 2 * flexed.cut_height_spread
    assert rigid.stubble > flexed.stubble
    assert rigid.digging > flexed.digging


@pytest.mark.parametrize(
    ("name", "low", "high", "piece"),
    [
        ("cut_height", 0.04, 0.08, "stubble"),
        ("reel_rate", 3.5, 5.0, "shatter"),
        ("reel_lead", 0.254, 0.381, "loose_stalk"),
        ("ground_speed", 1.6, 2.4, "knife"),
        ("ground_speed", 1.6, 2.4, "processing"),
    ],
)
def test_more_of_a_setting_loses_more_of_a_piece(
    field, machine, settings, soybean, name, low, high, piece
):
    little, much = (
        run(field, machine, replace(settings, **{name: value}), soybean.values)
        for value in (low, high)
    )
    assert getattr(much, piece) > getattr(little, piece)


def test_draws_and_settings_meet_in_one_call(field, machine, settings, soybean):
    draws = ensemble.draw(soybean.low, soybean.values, soybean.high, 5, 1)
    speeds = np.array([1.0, 1.5, 2.0])
    many = run(
        field,
        machine,
        replace(settings, ground_speed=speeds),
        ensemble.column(draws),
    )
    assert many.cost.shape == (5, 3)
    single = run(
        field,
        machine,
        replace(settings, ground_speed=1.5),
        ensemble.one(draws, 4),
    )
    assert many.cost[4, 1] == pytest.approx(single.cost, rel=1e-12)
    assert many.total_loss[4, 1] == pytest.approx(single.total_loss, rel=1e-12)


@pytest.mark.parametrize(
    ("name", "value"),
    [("ground_speed", 0.0), ("reel_rate", -1.0), ("cut_height", -0.01)],
)
def test_impossible_settings_are_refused(
    field, machine, settings, soybean, name, value
):
    with pytest.raises(OutOfRange):
        run(field, machine, replace(settings, **{name: value}), soybean.values)


def test_every_coefficient_in_the_record_has_bounds_in_order(soybean):
    for each in fields(soybean.values):
        low, value, high = (
            getattr(part, each.name)
            for part in (soybean.low, soybean.values, soybean.high)
        )
        assert low <= value <= high, each.name
