"""Every formula refuses nan and takes arrays like numbers; guards name the culprit.

The inputs below are plain possible ones; nothing here is an expected value.
"""

import inspect

import numpy as np
import pytest
from together import together

from academy.engine import (
    air,
    capacity,
    counting,
    cutting_pattern,
    day_moisture,
    delay,
    delivery,
    divider,
    draper,
    drum,
    economics,
    equilibrium,
    frames,
    grain,
    ground,
    guard,
    hour_cost,
    knife,
    lodging,
    moisture,
    ownership,
    pacing,
    processing,
    reel,
    reel_path,
    stubble,
    tradeoff,
)
from academy.errors import OutOfRange

POSSIBLE = {
    reel.reel_index: (0.5, 4.0, 1.5),
    reel.reel_rate_for: (0.5, 1.3, 1.5),
    reel.entry_angle: (1.3,),
    reel.entry_speed: (1.5, 1.3),
    reel.sweep_speed: (1.5, 1.3),
    reel.entry_axle_height: (0.9, 0.1, 0.5, 1.3),
    reel.penetration: (0.5, 1.3),
    reel.shatter_share: (2.0, 0.12, 0.1, 3.0, 0.6, 18.0, 0.13),
    reel.not_carried_share: (1.3, 0.2, 0.03, 0.14, 0.6, 0.02, 0.1, 0.03, 0.2),
    reel_path.loop_width: (0.5, 1.3),
    reel_path.bat_pitch: (0.5, 1.3, 6.0),
    reel_path.loop_cover: (1.3, 6.0),
    reel_path.bat_path: (0.5, 1.2, 1.3, 0.4),
    knife.mean_knife_speed: (0.08, 18.0),
    knife.peak_knife_speed: (0.08, 18.0),
    knife.advance_per_stroke: (1.5, 18.0),
    knife.stubble_length: (0.05, 0.04),
    knife.knife_share: (0.2, 0.03),
    cutting_pattern.bunched_share: (0.09, 0.05, 0.65),
    ground.roughness_height: (0.001, 0.05, 2.0, 0.1),
    ground.tracking_residual: (0.001, 1.5, 0.5, 0.1),
    ground.wheel_residual: (0.001, 4.0, 0.1),
    ground.rigid_bar_gap: (0.001, 12.0, 0.1),
    ground.contact_loss_speed: (200.0, 50.0, 0.04, 0.5),
    ground.end_lift: (12.0, 0.02),
    stubble.stubble_share: (0.08, 0.05, 0.035, 1.1),
    stubble.head_share: (0.3, 0.7, 0.06),
    stubble.height_loss: (0.025, 1.1, 0.34),
    stubble.lowest_pod_height: (0.13, 20.0, 30.0, 0.31),
    frames.hoop_loss: (100.0, 0.635, 0.00015),
    frames.kernels_per_area: (30.0, 0.5),
    frames.pod_loss: (37.0, 1.0, 2.5, 0.00016),
    frames.strip_loss: (200.0, 0.3, 6.0, 0.00003),
    pacing.paced_speed: (40.0, 20.0, 1.0),
    pacing.paces: (2.0, 20.0, 1.0),
    delay.cycles_for: (1e6, 3e5),
    delay.weathered_shatter: (3.0, 0.08),
    delay.timeliness_for: (0.06, 0.12, 2e6),
    delay.waited_loss: (0.06, 2e-8, 1e6),
    delay.waited_mass: (2e-8, 1e6, 0.4),
    tradeoff.field_loss_value: (1e5, 0.01, 0.4),
    tradeoff.speed_gain: (100.0, 50.0, 120.0),
    tradeoff.time_saved: (1e5, 4.0, 5.0),
    tradeoff.time_value: (3600.0, 0.08),
    delivery.delivered_value: (0.5, 0.4, 0.55, 0.01),
    grain.bushel_mass_for: (770.0, 0.035),
    moisture.water_shrink: (0.18, 0.13),
    moisture.water_mass: (100.0, 0.13),
    moisture.drydown_rate: (0.5, 0.2, 1e6),
    ownership.salvage_value: (3e5, 0.3),
    lodging.lodged_share: (0.3, 0.08, 3.0),
    divider.divider_share: (0.002, 9.0, 12.0),
    draper.mat_depth: (0.6, 1.8, 6.0, 15.0, 2.5, 1.0),
    draper.belt_speed_for: (0.6, 1.8, 6.0, 15.0, 0.2, 1.0),
    draper.belt_throw: (3.0, 0.15, 9.8),
    draper.crossing_speed: (1.4, 0.15, 9.8),
    draper.laying_angle: (2.5, 1.8),
    draper.slack_tension: (300.0, 0.3, 3.0),
    drum.slugging_index: (0.2, 4.0, 0.05),
    drum.stoppages_per_area: (0.8, 1e-5, 3.0),
    drum.wrap_turns: (0.8, 0.4),
    processing.straw_taken: (1.3, 0.25, 0.85, 0.75),
    processing.mog_feedrate: (1.8, 12.0, 0.4, 1.2),
    processing.processing_share: (5.0, 4.0, 6.0),
    processing.tip_speed: (0.6, 80.0),
    capacity.theoretical_area_rate: (12.0, 1.8),
    capacity.field_capacity: (12.0, 1.8, 0.7),
    capacity.material_rate: (20.0, 0.4),
    capacity.work_time: (1e5, 20.0),
    capacity.rotary_power: (2e4, 1.3e4, 5.0),
    capacity.engine_load: (1.5e5, 2e5),
    economics.cost_of_loss: (0.03, 0.4, 0.4),
    economics.machine_cost_per_area: (0.1, 15.0),
    economics.cost_rate: (0.01, 15.0),
    economics.field_cost: (0.01, 1e5),
    economics.stoppage_cost: (1e-5, 900.0, 0.1),
    economics.soil_cost: (500.0, 300.0, 0.002),
    economics.delay_loss: (1e-7, 1e5),
    economics.timeliness_cost: (1e-7, 0.4, 0.4, 1e6, 15.0, 0.4, 0.7, 4.0),
    ownership.capital_recovery: (1e5, 2e4, 0.06, 10.0),
    ownership.repair_cost: (1e5, 7e6, 3.6e6, 0.04, 2.1),
    ownership.average_fuel_rate: (1e5, 6e-11),
    ownership.specific_fuel: (0.8, 7e-10, 1e-9, 5e-11, 738.0, 173.0),
    hour_cost.yearly_repairs: (1e5, 1e6, 9e5, 8.0, 3.6e6, 0.04, 2.1),
    hour_cost.yearly_overhead: (1e5, 2e4, 0.02),
    hour_cost.fuel_cost_rate: (1e-5, 1000.0, 0.15),
    hour_cost.labour_cost_rate: (0.007, 1.2),
    hour_cost.spread_over_use: (1e4, 9e5),
    air.air_temperature: (9e3, 283.0, 298.0, 2e4, 5.4e4, 8.64e4),
    air.relative_humidity: (295.0, 283.0, 17.6, 243.0, 273.0),
    air.damped_humidity: (0.6, 0.5, 0.2),
    day_moisture.settled_moisture: (0.12, 0.2, 0.13, 3600.0, 3e4),
    day_moisture.swung_moisture: (0.13, 0.16, 0.14),
    day_moisture.layered_moisture: (0.2, 0.1, 0.25),
    counting.count_to_mass_per_area: (40.0, 0.9, 1.6e-4),
    counting.count_for: (0.01, 0.9, 1.6e-4),
    counting.concentration_factor: (9.0, 1.5),
    counting.header_loss: (0.02, 0.005),
    counting.machine_loss: (0.05, 0.02, 6.0),
    counting.pan_loss: (0.003, 0.1, 6.0),
    counting.loss_share: (0.02, 0.4),
    counting.hoop_area: (0.6,),
    counting.frame_depth: (1.0, 9.0),
    counting.mean_count: (9.0,),
    grain.kernels_per_area_for: (0.01, 1.6e-4),
    grain.kernel_mass_for: (0.01, 43.0),
    grain.kernel_weight: (0.16, 1000.0),
    grain.bushels: (1000.0, 27.0),
    grain.bulk_density: (27.0, 0.035),
    grain.saleable_loss: (0.1, 0.13),
    moisture.wet_basis: (0.2,),
    moisture.dry_basis: (0.2,),
    moisture.shrink: (1000.0, 0.2, 0.15),
    moisture.water_shrink_per_point: (0.15,),
    moisture.paid_mass: (1000.0, 0.2, 0.15, 1.2),
    equilibrium.henderson_moisture: (0.6, 298.0, 3e-4, 1.2, 134.0, 273.0, 0.01),
    equilibrium.chung_pfost_moisture: (0.6, 298.0, 400.0, 0.15, 70.0, 273.0, 0.01),
    equilibrium.chung_pfost_direct_moisture: (0.6, 298.0, 0.4, 0.07, 90.0, 273.0, 1.0),
    equilibrium.halsey_moisture: (0.6, 298.0, 2.9, -5e-3, 1.4, 273.0, 0.01),
    equilibrium.halsey_humidity: (0.1, 298.0, 2.9, -5e-3, 1.4, 273.0, 0.01),
    equilibrium.oswin_moisture: (0.6, 298.0, 13.0, -5e-2, 3.0, 273.0, 0.01),
}
CASES = list(POSSIBLE.items())
ELEMENTWISE = [case for case in CASES if case[0] is not counting.mean_count]
INPUTS = [
    (formula, inputs, place)
    for formula, inputs in CASES
    for place, _ in enumerate(inspect.signature(formula).parameters)
]
PLACES = [
    f"{formula.__name__}-{name}"
    for formula, _ in CASES
    for name in inspect.signature(formula).parameters
]
SHIFTS = np.array([1.0, 1.01, 1.02])


@together("formula, inputs, place", INPUTS, ids=PLACES)
@together("wrong", [float("nan"), float("inf")])
def test_no_input_may_be_other_than_a_number(formula, inputs, place, wrong):
    inputs = [wrong if at == place else value for at, value in enumerate(inputs)]
    with pytest.raises(OutOfRange):
        formula(*inputs)


@together("formula, inputs, place", INPUTS, ids=PLACES)
def test_one_nan_in_an_array_is_refused(formula, inputs, place):
    array = np.array([inputs[place], float("nan"), inputs[place]])
    inputs = [array if at == place else value for at, value in enumerate(inputs)]
    with pytest.raises(OutOfRange):
        formula(*inputs)


@together("formula, inputs", ELEMENTWISE, ids=[f.__name__ for f, _ in ELEMENTWISE])
def test_an_array_gives_what_its_numbers_give(formula, inputs):
    many = formula(inputs[0] * SHIFTS, *inputs[1:])
    single = [formula(inputs[0] * shift, *inputs[1:]) for shift in SHIFTS.tolist()]
    np.testing.assert_allclose(many, np.transpose(single), rtol=1e-12)


# of several frames, of a day or of many days: no twin for each number
MEANS = {
    frames.excess_count,
    delay.cycle_count,
    day_moisture.lagged_moisture,
    day_moisture.at_hour,
}


def test_every_public_formula_is_held_to_this():
    modules = {inspect.getmodule(formula) for formula in POSSIBLE}
    there = {
        formula
        for module in modules
        for name, formula in inspect.getmembers(module, inspect.isfunction)
        if formula.__module__ == module.__name__ and not name.startswith("_")
    }
    assert there == set(POSSIBLE) | MEANS


REFUSED = [
    (guard.positive, 0.0, "must_be_positive"),
    (guard.not_negative, -1e-12, "must_not_be_negative"),
    (guard.fraction, 75.0, "must_be_a_fraction"),
    (guard.fraction, -0.01, "must_be_a_fraction"),
    (guard.below_one, 1.0, "must_be_below_one"),
    (guard.finite, float("-inf"), "must_be_a_number"),
]


@pytest.mark.parametrize(("check", "wrong", "key"), REFUSED)
def test_a_refusal_names_the_thing_and_the_value(check, wrong, key):
    for value in (wrong, np.array([0.5, wrong, 0.5])):
        with pytest.raises(OutOfRange) as caught:
            check("field_efficiency", value)
        assert caught.value.key == key
        assert caught.value.values == {"name": "field_efficiency", "value": wrong}


def test_at_least_compares_element_by_element():
    low, high = np.array([1.0, 5.0]), np.array([2.0, 6.0])
    guard.at_least("behind", high, low)
    with pytest.raises(OutOfRange, match="must_be_at_least"):
        guard.at_least("behind", low, high)
    with pytest.raises(OutOfRange, match="must_be_at_least"):
        guard.at_least("behind", np.array([1.0, 9.0]), np.array([2.0, 6.0]))
    guard.at_least("behind", 2.0, 2.0)


def test_bounds_themselves_are_allowed():
    guard.fraction("share", np.array([0.0, 1.0]))
    guard.not_negative("speed", 0.0)
    guard.below_one("moisture", 0.0)
