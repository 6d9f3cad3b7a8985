"""Area, material, power and processing loss against published examples."""

import math

import numpy as np
import pytest

from academy.engine import capacity, processing
from academy.errors import OutOfRange

FOOT, MPH, HOUR, HECTARE, TONNE = 0.3048, 0.44704, 3600.0, 1e4, 1e3
ACRE = 43560 * FOOT**2
RPM = 2 * math.pi / 60


@pytest.mark.parametrize(
    ("feet", "mph", "efficiency", "acres"),
    [
        # Iowa State University PM 696
        (40, 6, 0.70, "20.4"),
        (50, 6, 0.70, "25.5"),
        (15, 5, 0.63, "5.7"),
        (12, 5, 0.85, "6.2"),
        # Gregg 2016, no efficiency counted
        (40, 3, 1.0, "14.5"),
        (40, 4, 1.0, "19.4"),
    ],
)
def test_published_field_capacities(feet, mph, efficiency, acres, printed):
    rate = capacity.field_capacity(feet * FOOT, mph * MPH, efficiency)
    assert rate * HOUR / ACRE == printed(acres)


def test_published_capacity_of_the_60_ft_machine():
    # PM 696 prints 59.3 for 59.345 (their rounding is good to a tenth).
    rate = capacity.field_capacity(60 * FOOT, 12 * MPH, 0.68)
    assert rate * HOUR / ACRE == pytest.approx(59.3, abs=0.1)


def test_one_acre_an_hour_takes_8_25_mile_feet(printed):
    # University of Kentucky AEN-73: 43,560/5,280
    rate = capacity.theoretical_area_rate(8.25 * FOOT, MPH)
    assert rate * HOUR / ACRE == printed("1.000")


def test_metric_study_problem(printed):
    # Open study notes: 4 m, 4.5 km/h, 70 %, 4 t/ha, straw 1.5 times the grain.
    speed = 4500 / HOUR
    whole = capacity.theoretical_area_rate(4.0, speed)
    worked = capacity.field_capacity(4.0, speed, 0.70)
    grain = capacity.material_rate(worked, 4 * TONNE / HECTARE)
    crop = capacity.material_rate(worked, 2.5 * 4 * TONNE / HECTARE)
    assert whole * HOUR / HECTARE == printed("1.8")
    assert worked * HOUR / HECTARE == printed("1.26")
    assert grain * HOUR == printed("5040")
    assert crop * HOUR == printed("12600")


def test_feedrate_while_cutting_knows_no_field_efficiency():
    # same problem: straw 1.5 × 4 t/ha on 1.8 ha/h = 10.8 t/h
    feed = processing.mog_feedrate(4500 / HOUR, 4.0, 4 * TONNE / HECTARE, 1.5)
    assert feed * HOUR / TONNE == pytest.approx(10.8)


def test_full_efficiency_is_the_theoretical_rate():
    theory = capacity.theoretical_area_rate(12.0, 1.8)
    assert capacity.field_capacity(12.0, 1.8, 1.0) == theory


@pytest.mark.parametrize(("mph", "hours"), [(3, "11.0"), (4, "8.25")])
def test_hours_for_a_quarter_section(mph, hours, printed):
    # Gregg 2016, 160 ac with 40 ft: 11.0 h, and 8.2 printed for 8.25 at 4 mph.
    rate = capacity.theoretical_area_rate(40 * FOOT, mph * MPH)
    assert capacity.work_time(160 * ACRE, rate) / HOUR == printed(hours)


def test_rotary_power_of_the_small_grain_row(printed):
    # 20 kW + 3.6 kWh/t × 16 t/h = 77.6 kW; the row is recalled, the sum is by hand.
    power = capacity.rotary_power(20e3, 3.6 * 3600, 16e3 / HOUR)
    assert power / 1e3 == printed("77.6")


def test_load_is_the_share_of_the_engine():
    assert capacity.engine_load(77.6e3, 155.2e3) == pytest.approx(0.5)
    assert capacity.engine_load(0.0, 155.2e3) == 0


def test_processing_loss_passes_both_stated_points():
    assert processing.processing_share(4.0, 4.0, 6.5) == pytest.approx(0.01)
    assert processing.processing_share(6.5, 4.0, 6.5) == pytest.approx(0.03)


def test_processing_loss_triples_over_every_equal_step():
    # 1 %, 3 %, 9 % at equal distances of feedrate; and a third below the first
    steps = processing.processing_share(np.array([2.0, 4.0, 6.0, 8.0]), 4.0, 6.0)
    np.testing.assert_allclose(steps, [0.01 / 3, 0.01, 0.03, 0.09])


def test_processing_never_loses_more_than_came_in():
    assert processing.processing_share(1e6, 4.0, 6.0) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("rpm", "speed"), [(700, "19.5"), (900, "25.1"), (1100, "30.7")]
)
def test_tip_speeds_of_the_1975_wheat_trial(rpm, speed, printed):
    # Harrison 1975: cylinder of 0.533 m; π D n/60 by hand.
    assert processing.tip_speed(0.533, rpm * RPM) == printed(speed)


@pytest.mark.parametrize(
    ("formula", "inputs", "key"),
    [
        (capacity.field_capacity, (12.0, 1.8, 75.0), "must_be_a_fraction"),
        (capacity.theoretical_area_rate, (-12.0, 1.8), "must_not_be_negative"),
        (capacity.material_rate, (-1.0, 0.4), "must_not_be_negative"),
        (capacity.work_time, (1e5, 0.0), "must_be_positive"),
        (capacity.rotary_power, (-1.0, 1e4, 5.0), "must_not_be_negative"),
        (capacity.engine_load, (1e5, 0.0), "must_be_positive"),
        (processing.mog_feedrate, (1.8, 12.0, 0.4, -1.0), "must_not_be_negative"),
        (processing.processing_share, (5.0, 6.0, 4.0), "must_be_positive"),
        (processing.tip_speed, (0.0, 80.0), "must_be_positive"),
    ],
)
def test_impossible_machines_are_refused(formula, inputs, key):
    with pytest.raises(OutOfRange, match=key):
        formula(*inputs)
