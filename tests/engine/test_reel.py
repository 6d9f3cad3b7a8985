"""Reel motion against printed tables, and the two reel losses against their limits."""

import math

import numpy as np
import pytest

from academy.engine import reel, reel_path
from academy.errors import OutOfRange

INCH, FOOT, MILE, MINUTE, HOUR = 0.0254, 0.3048, 1609.344, 60.0, 3600.0
MPH = MILE / HOUR
RPM = 2 * math.pi / MINUTE

# Angle [deg], entry speed and sweep over ground speed, loop width over radius, cover of
# six bats: worked out by hand from the trochoid, to the digits written.
TROCHOID = [
    (1.10, "65.4", "0.458", "0.10", "0.052", "0.05"),
    (1.25, "53.1", "0.750", "0.25", "0.170", "0.20"),
    (1.50, "41.8", "1.118", "0.50", "0.369", "0.53"),
    (1.80, "33.7", "1.497", "0.80", "0.572", "0.98"),
    (2.00, "30.0", "1.732", "1.00", "0.685", "1.31"),
    (2.40, "24.6", "2.182", "1.40", "0.867", "1.99"),
]
INDEXES = np.linspace(1.0, 4.0, 31)
SHATTER = {
    "amplitude": 0.1,
    "threshold_speed": 3.0,
    "speed_width": 0.6,
    "moisture_slope": 18.0,
    "reference_moisture": 0.13,
}
CARRY = {
    "amplitude": 0.03,
    "decay": 0.14,
    "lodging_decay": 0.6,
    "fore_aft_error": 0.0,
    "fore_aft_scale": 0.1,
    "height_error": 0.0,
    "height_scale": 0.2,
}


def test_iowa_reel_of_42_inches_turns_36_a_minute_at_3_mph(printed):
    # Iowa State University Extension, farm press 2005: index 1.5.
    rate = reel.reel_rate_for(21 * INCH, 1.5, 3 * MPH)
    assert rate / RPM == printed("36")


def test_iowa_constant_for_index_1_5_is_504(printed):
    # Same text: rpm = 504 mph / diameter in inches; here a 1 in reel at 1 mph.
    assert reel.reel_rate_for(INCH / 2, 1.5, MPH) / RPM == printed("504")


def test_study_notes_reel_of_60_cm_stands_at_1_51(printed):
    # Open study notes: 0.6 m, 40 rpm, 3 km/h.
    assert reel.reel_index(0.3, 40 * RPM, 3000 / HOUR) == printed("1.51")


def test_missouri_rule_of_11_turns_per_mph_overshoots_its_own_quarter():
    # Missouri tips: 11 rpm per mph on 42 in "about 25 % faster"; by hand
    # 11 × π × 42/1056 = 1.374.
    index = reel.reel_index(21 * INCH, 11 * RPM, MPH)
    assert index == pytest.approx(1.374, abs=0.0005)


@pytest.mark.parametrize(
    ("index", "angle", "speed", "sweep", "loop", "cover"), TROCHOID
)
def test_trochoid_table(index, angle, speed, sweep, loop, cover, printed):
    assert math.degrees(reel.entry_angle(index)) == printed(angle)
    assert reel.entry_speed(1.0, index) == printed(speed)
    assert reel.sweep_speed(1.0, index) == printed(sweep)
    assert reel_path.loop_width(1.0, index) == printed(loop)
    assert reel_path.loop_cover(index, 6) == printed(cover)


@pytest.mark.parametrize(("bats", "index"), [(4, "2.12"), (5, "1.93"), (6, "1.81")])
def test_loops_of_successive_bats_just_touch(bats, index):
    # Hand solution of (Z/π)[√(λ²−1) − arccos(1/λ)] = 1, to two decimals.
    value = float(index)
    assert reel_path.loop_cover(value - 0.005, bats) < 1
    assert reel_path.loop_cover(value + 0.005, bats) > 1


def test_entry_axle_height_by_hand():
    # 0.90 − 0.06 + 0.5/1.25 = 1.24
    assert reel.entry_axle_height(0.9, 0.06, 0.5, 1.25) == pytest.approx(1.24)


def test_bat_pitch_by_hand():
    # 2π × 0.5/(1.25 × 6) = 0.41888
    assert reel_path.bat_pitch(0.5, 1.25, 6) == pytest.approx(0.41888, abs=5e-6)


def test_rate_and_index_are_inverse():
    rate = reel.reel_rate_for(0.53, INDEXES, 1.7)
    np.testing.assert_allclose(reel.reel_index(0.53, rate, 1.7), INDEXES)


def test_at_index_1_everything_meets_its_limit():
    assert reel.entry_speed(2.0, 1.0) == 0
    assert reel.sweep_speed(2.0, 1.0) == 0
    assert reel.penetration(0.5, 1.0) == 0
    assert reel_path.loop_width(0.5, 1.0) == 0
    assert reel.entry_angle(1.0) == pytest.approx(math.pi / 2)
    assert reel.entry_axle_height(0.9, 0.1, 0.5, 1.0) == pytest.approx(1.3)


def test_below_index_1_tips_push_forward_and_nothing_drops():
    assert reel.sweep_speed(2.0, 0.8) < 0
    assert reel.entry_speed(2.0, 0.8) == 0
    assert reel_path.loop_cover(0.8, 6) == 0


def test_axle_height_and_penetration_share_one_triangle():
    # axle over entry point + depth below it = radius
    reach = reel.entry_axle_height(1.0, 1.0, 0.5, INDEXES)
    np.testing.assert_allclose(reach + reel.penetration(0.5, INDEXES), 0.5)


def test_bat_moves_straight_down_at_the_entry_angle():
    angle = reel.entry_angle(1.6)
    step = np.array([-1e-5, 1e-5])
    ahead, up = reel_path.bat_path(0.5, 1.0, 1.6, angle + step)
    assert abs(ahead[1] - ahead[0]) < 1e-9
    assert up[1] < up[0]


def test_bat_path_repeats_after_a_turn_one_turn_of_travel_farther():
    near, low = reel_path.bat_path(0.5, 1.0, 1.6, 0.4)
    far, same = reel_path.bat_path(0.5, 1.0, 1.6, 0.4 + 2 * math.pi)
    assert same == pytest.approx(low)
    assert far - near == pytest.approx(6 * reel_path.bat_pitch(0.5, 1.6, 6))


def test_loop_width_is_twice_the_farthest_rearward_excursion():
    # The tip is rearmost where it goes up again, at π − θ₁; the loop spans both sides
    # of the low point, whose tip stands one quarter turn of travel ahead.
    entry, index = reel.entry_angle(1.6), 1.6
    first, _ = reel_path.bat_path(0.5, 1.0, index, entry)
    last, _ = reel_path.bat_path(0.5, 1.0, index, math.pi - entry)
    assert first - last == pytest.approx(reel_path.loop_width(0.5, index))


def test_no_bat_moves_straight_down_below_index_1():
    with pytest.raises(OutOfRange, match="must_be_at_least"):
        reel.entry_angle(0.99)


@pytest.mark.parametrize("bad", [(-0.5, 4.0, 1.3), (0.5, -4.0, 1.3), (0.5, 4.0, 0.0)])
def test_reel_index_refuses_impossible_reels(bad):
    with pytest.raises(OutOfRange):
        reel.reel_index(*bad)


def test_half_the_amplitude_shatters_at_the_threshold():
    assert reel.shatter_share(3.0, 0.13, **SHATTER) == pytest.approx(0.05)


def test_drier_pods_shatter_at_gentler_blows():
    # three points drier: threshold 3.0 − 18 × 0.03 = 2.46 m/s
    assert reel.shatter_share(2.46, 0.10, **SHATTER) == pytest.approx(0.05)


def test_shatter_rises_with_speed_and_dryness_and_stays_under_the_amplitude():
    speeds = np.linspace(0.0, 60.0, 200)
    share = reel.shatter_share(speeds, 0.13, **SHATTER)
    assert np.all(np.diff(share) >= 0)
    assert np.all(share <= 0.1)
    assert np.all(reel.shatter_share(speeds, 0.09, **SHATTER) >= share)


def test_shatter_has_the_symmetry_of_its_curve():
    above, below = (reel.shatter_share(3.0 + d, 0.13, **SHATTER) for d in (0.7, -0.7))
    assert above + below == pytest.approx(0.1)


def test_shatter_refuses_moisture_in_per_cent():
    with pytest.raises(OutOfRange, match="must_be_a_fraction"):
        reel.shatter_share(3.0, 13.0, **SHATTER)


def test_crop_not_carried_falls_e_fold_over_the_decay():
    share = reel.not_carried_share(np.array([1.0, 1.14]), 0.0, **CARRY)
    assert share[0] == pytest.approx(0.03)
    assert share[0] / share[1] == pytest.approx(math.e)


def test_lodged_crop_needs_a_faster_reel_for_the_same_loss():
    # decay 0.14 + 0.6 × 0.5 = 0.44: index 1.44 lodged is index 1.14 standing
    standing = reel.not_carried_share(1.14, 0.0, **CARRY)
    assert reel.not_carried_share(1.44, 0.5, **CARRY) == pytest.approx(standing)


def test_axle_out_of_place_by_one_scale_doubles_the_loss_either_way():
    good = reel.not_carried_share(1.4, 0.0, **CARRY)
    for error in (0.1, -0.1):
        moved = CARRY | {"fore_aft_error": error}
        assert reel.not_carried_share(1.4, 0.0, **moved) == pytest.approx(2 * good)
    both = CARRY | {"fore_aft_error": 0.1, "height_error": -0.2}
    assert reel.not_carried_share(1.4, 0.0, **both) == pytest.approx(4 * good)


def test_a_standing_reel_loses_no_more_than_the_crop():
    assert reel.not_carried_share(0.0, 0.0, **CARRY) == 1.0


def test_not_carried_refuses_lodging_above_one():
    with pytest.raises(OutOfRange, match="must_be_a_fraction"):
        reel.not_carried_share(1.4, 1.2, **CARRY)
