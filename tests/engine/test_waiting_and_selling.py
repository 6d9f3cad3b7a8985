"""Waiting, drying, selling and going faster: hand values, laws, refusals."""

import pytest

from academy.engine import (
    delay,
    delivery,
    economics,
    grain,
    moisture,
    ownership,
    roughness_class,
    stubble,
    tradeoff,
)
from academy.errors import OutOfRange

DAY, HOUR, ACRE = 86400.0, 3600.0, 4046.8564224


def test_waiting_and_its_rate_are_inverse():
    rate = delay.timeliness_for(0.061, 0.139, 42 * DAY)
    assert delay.waited_loss(0.061, rate, 42 * DAY) == pytest.approx(0.139)
    assert delay.waited_loss(0.061, rate, 0.0) == 0.061


def test_grain_lost_by_waiting_is_its_share_of_the_crop():
    # 0.3 % a day, ten days: 3 % of 0.5 kg/m²
    assert delay.waited_mass(0.003 / DAY, 10 * DAY, 0.5) == pytest.approx(0.015)


def test_the_speed_of_a_field_in_money():
    # 160 acres at 40 ft: 11 h at 3 mph, 8.25 h at 4 mph; 2.75 h at 300 an hour are 825;
    # 1 and 3 bu/ac at 10: 1600 and 4800; 825 − 3200 = −2375
    area, slow, fast = 160 * ACRE, 160 * ACRE / 11 / HOUR, 160 * ACRE / 8.25 / HOUR
    saved = tradeoff.time_saved(area, slow, fast)
    assert saved / HOUR == pytest.approx(2.75)
    worth = tradeoff.time_value(saved, 300 / HOUR)
    assert worth == pytest.approx(825.0)
    assert tradeoff.speed_gain(worth, 1600.0, 4800.0) == pytest.approx(-2375.0)


def test_a_pace_against_itself_gains_nothing():
    assert tradeoff.time_saved(100.0, 5.0, 5.0) == 0.0
    assert tradeoff.speed_gain(0.0, 7.0, 7.0) == 0.0


def test_the_loss_of_a_field_is_its_loss_per_area_times_its_area():
    per_area = economics.cost_of_loss(1.0, 0.02, 0.4)
    whole = tradeoff.field_loss_value(5000.0, 0.02, 0.4)
    assert whole == pytest.approx(5000.0 * per_area)


def test_grain_that_needs_no_drying_brings_its_price():
    assert delivery.delivered_value(0.4, 0.5, 0.4, 0.0) == pytest.approx(0.2)
    # 0.4 × 0.5 − 0.45 × 0.02 = 0.191
    assert delivery.delivered_value(0.4, 0.5, 0.45, 0.02) == pytest.approx(0.191)


def test_water_taken_out_and_mass_left_make_the_load():
    share = moisture.water_shrink(0.26, 0.15)
    left = moisture.shrink(1000.0, 0.26, 0.15)
    assert 1000.0 * (1.0 - share) == pytest.approx(left)
    per_point = moisture.water_shrink_per_point(0.15)
    assert share == pytest.approx(per_point * 0.11)
    assert moisture.water_shrink(0.15, 0.15) == 0.0


def test_water_and_dry_matter_make_the_grain():
    # a bushel of 60 lb at 13 %: 7.8 lb of water, 52.2 lb dry
    assert moisture.water_mass(60.0, 0.13) == pytest.approx(7.8)
    assert moisture.shrink(60.0, 0.13, 0.0) == pytest.approx(60.0 - 7.8)


def test_drying_down_takes_the_time_it_takes():
    rate = moisture.drydown_rate(0.58, 0.12, 15 * DAY)
    assert 0.58 - rate * 15 * DAY == pytest.approx(0.12)


def test_a_bushel_and_a_density_are_inverse():
    density = grain.bulk_density(27.2, 0.035239)
    assert grain.bushel_mass_for(density, 0.035239) == pytest.approx(27.2)


def test_height_loss_is_the_straight_part_of_the_stubble_loss():
    high = stubble.stubble_share(0.30, 0.02, 0.03, 0.9)
    low = stubble.stubble_share(0.25, 0.02, 0.03, 0.9)
    assert stubble.height_loss(0.05, 0.9, 1.0) == pytest.approx(high - low, rel=1e-6)


def test_salvage_is_what_the_table_leaves():
    # 23 % of 150,000
    assert ownership.salvage_value(150000.0, 0.23) == pytest.approx(34500.0)


@pytest.mark.parametrize(
    ("millionths", "letter"),
    [(8, "A"), (31, "A"), (32, "B"), (127, "B"), (128, "C"), (512, "D"), (2047, "D"),
     (2048, "E")],
)  # fmt: skip
def test_classes_have_the_limits_of_the_standard(millionths, letter):
    number = roughness_class.class_number(millionths * 1e-6, 32e-6, 4.0)
    assert "_ABCDEFGH"[int(number)] == letter


def test_the_middle_of_a_class_is_as_many_times_from_either_limit():
    middle = roughness_class.class_middle(512e-6, 2048e-6)
    assert middle / 512e-6 == pytest.approx(2048e-6 / middle)


@pytest.mark.parametrize(
    ("formula", "given"),
    [
        (delay.waited_loss, [0.9, 0.1, 2.0]),
        (delay.timeliness_for, [0.2, 0.1, 1.0]),
        (delay.timeliness_for, [0.1, 0.2, 0.0]),
        (delay.waited_mass, [0.1, 1.0, -1.0]),
        (tradeoff.time_saved, [1.0, 2.0, 1.0]),
        (tradeoff.time_value, [-1.0, 1.0]),
        (tradeoff.field_loss_value, [1.0, -1.0, 1.0]),
        (tradeoff.speed_gain, [1.0, 1.0, -1.0]),
        (delivery.delivered_value, [1.0, -1.0, 1.0, 1.0]),
        (moisture.water_shrink, [0.1, 0.2]),
        (moisture.water_mass, [1.0, 1.5]),
        (moisture.drydown_rate, [0.2, 0.3, 1.0]),
        (grain.bushel_mass_for, [0.0, 1.0]),
        (stubble.height_loss, [2.0, 1.0, 1.0]),
        (ownership.salvage_value, [1.0, 23.0]),
        (roughness_class.class_number, [0.0, 1.0, 4.0]),
        (roughness_class.class_number, [1.0, 1.0, 1.0]),
        (roughness_class.class_middle, [2.0, 1.0]),
    ],
)
def test_what_cannot_be_is_refused(formula, given):
    with pytest.raises(OutOfRange):
        formula(*given)
