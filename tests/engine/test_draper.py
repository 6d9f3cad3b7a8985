"""Belts and feed drum: mass balance, throw, grip, plug and wrap."""

import math

import numpy as np
import pytest

from academy.engine import draper, drum
from academy.errors import OutOfRange

MPH, GRAVITY = 0.44704, 9.80665
# 3.36 t/ha beans, straw 0.8 of it, 12.2 m in two sides, 4 mph, 1 m belt, 15 kg/m³
BEANS = (0.336 * 1.8, 4 * MPH, 6.1, 15.0)


@pytest.mark.parametrize(("belt_speed", "depth"), [(2.5, "0.18"), (1.5, "0.29")])
def test_mat_depth_by_hand(belt_speed, depth, printed):
    # 0.6048 × 1.788 × 6.1/(15 × 2.5 × 1) = 0.176
    assert draper.mat_depth(*BEANS, belt_speed, 1.0) == printed(depth)


def test_what_flows_onto_the_belt_flows_off_it():
    depth = draper.mat_depth(0.6, 1.8, 6.0, 15.0, 2.5, 1.1)
    assert depth * 15.0 * 1.1 * 2.5 == pytest.approx(0.6 * 1.8 * 6.0)


def test_belt_speed_and_mat_depth_are_inverse():
    speed = draper.belt_speed_for(0.6, 1.8, 6.0, 15.0, 0.21, 1.1)
    assert draper.mat_depth(0.6, 1.8, 6.0, 15.0, speed, 1.1) == pytest.approx(0.21)


def test_a_quarter_more_ground_speed_needs_a_quarter_more_belt_speed():
    slow = draper.belt_speed_for(0.6, 1.6, 6.0, 15.0, 0.2, 1.0)
    fast = draper.belt_speed_for(0.6, 2.0, 6.0, 15.0, 0.2, 1.0)
    assert fast == pytest.approx(1.25 * slow)


@pytest.mark.parametrize(("speed", "throw"), [(2, "0.35"), (3, "0.52"), (4, "0.70")])
def test_throw_over_a_drop_of_15_cm_by_hand(speed, throw, printed):
    # √(2 × 0.15/9.80665) = 0.1749 s
    assert draper.belt_throw(speed, 0.15, GRAVITY) == printed(throw)


def test_at_the_crossing_speed_crop_lands_in_the_middle(printed):
    speed = draper.crossing_speed(1.4, 0.15, GRAVITY)
    assert speed == printed("4.0")  # 0.7/0.1749 by hand
    assert draper.belt_throw(speed, 0.15, GRAVITY) == pytest.approx(0.7)


def test_stalks_lie_at_half_a_right_angle_when_belt_and_machine_are_equal():
    assert draper.laying_angle(2.0, 2.0) == pytest.approx(math.pi / 4)
    assert draper.laying_angle(0.0, 2.0) == 0


def test_slack_tension_satisfies_the_capstan_limit():
    slack = draper.slack_tension(300.0, 0.35, 2.9)
    assert (slack + 300.0) / slack == pytest.approx(math.exp(0.35 * 2.9))


def test_more_wrap_or_friction_needs_less_tension():
    angles = draper.slack_tension(300.0, 0.3, np.linspace(1, 6, 9))
    frictions = draper.slack_tension(300.0, np.linspace(0.1, 0.6, 9), 3.0)
    assert np.all(np.diff(angles) < 0)
    assert np.all(np.diff(frictions) < 0)


def test_mat_squeezed_to_the_gap_stands_at_one():
    # 20 cm squeezed fourfold is 5 cm
    assert drum.slugging_index(0.20, 4.0, 0.05) == pytest.approx(1.0)
    assert drum.slugging_index(0.40, 4.0, 0.05) == pytest.approx(2.0)


def test_stoppages_at_one_are_the_stated_rate_and_without_mat_none():
    assert drum.stoppages_per_area(1.0, 2e-5, 3.0) == 2e-5
    assert drum.stoppages_per_area(0.0, 2e-5, 3.0) == 0
    assert drum.stoppages_per_area(2.0, 2e-5, 3.0) == pytest.approx(1.6e-4)


def test_a_stem_of_one_girth_goes_round_once():
    assert drum.wrap_turns(math.pi * 0.4, 0.4) == pytest.approx(1.0)
    assert drum.wrap_turns(math.pi * 0.8, 0.4) == pytest.approx(2.0)


@pytest.mark.parametrize(
    ("formula", "inputs"),
    [
        (draper.mat_depth, (*BEANS, 0.0, 1.0)),
        (draper.belt_speed_for, (*BEANS, 0.0, 1.0)),
        (draper.belt_throw, (-3.0, 0.15, GRAVITY)),
        (draper.crossing_speed, (1.4, 0.0, GRAVITY)),
        (draper.laying_angle, (2.0, 0.0)),
        (draper.slack_tension, (300.0, 0.0, 3.0)),
        (drum.slugging_index, (0.2, 4.0, 0.0)),
        (drum.stoppages_per_area, (-1.0, 2e-5, 3.0)),
        (drum.wrap_turns, (0.8, 0.0)),
    ],
)
def test_impossible_belts_and_drums_are_refused(formula, inputs):
    with pytest.raises(OutOfRange):
        formula(*inputs)
