"""Roughness and following against closed forms worked out by hand."""

import math

import numpy as np
import pytest

from academy.engine import ground
from academy.errors import OutOfRange

MPH, MM, N0 = 0.44704, 1e-3, 0.1
CLASS_C, CLASS_D, CLASS_E = 256e-6, 1024e-6, 4096e-6


def test_class_d_is_the_geometric_mean_of_its_limits():
    # ISO 8608 class limits as read in a public script: 512 and 2048 millionths.
    assert math.sqrt(512e-6 * 2048e-6) == pytest.approx(CLASS_D)


def test_rms_height_of_class_d_by_hand(printed):
    # 0.1 √(1024e-6 (1/0.05 − 1/2)) = 0.1 √0.019968 = 14.13 mm
    height = ground.roughness_height(CLASS_D, 0.05, 2.0, N0)
    assert height / MM == printed("14.13")


def test_variances_of_neighbouring_bands_add_up():
    low = ground.roughness_height(CLASS_D, 0.05, 0.4, N0)
    high = ground.roughness_height(CLASS_D, 0.4, 2.0, N0)
    whole = ground.roughness_height(CLASS_D, 0.05, 2.0, N0)
    assert low**2 + high**2 == pytest.approx(whole**2)


@pytest.mark.parametrize(
    ("roughness", "mph", "gap"),
    [
        (CLASS_D, 3, "5.2"),
        (CLASS_D, 5, "6.8"),
        (CLASS_E, 3, "10.5"),
        (CLASS_E, 5, "13.5"),
    ],
)
def test_residual_at_half_a_hertz_by_hand(roughness, mph, gap, printed):
    # n₀ √(G v/f): e.g. 0.1 √(1024e-6 × 1.341/0.5) = 5.24 mm
    residual = ground.tracking_residual(roughness, mph * MPH, 0.5, N0)
    assert residual / MM == printed(gap)


def test_residual_is_the_band_that_control_cannot_follow():
    # at speed v, frequencies over f are the waves over n = f/v
    left = ground.roughness_height(CLASS_D, 0.5 / 2.0, 1e9, N0)
    residual = ground.tracking_residual(CLASS_D, 2.0, 0.5, N0)
    assert left == pytest.approx(residual)


def test_residual_vanishes_at_a_standstill_and_on_a_table():
    assert ground.tracking_residual(CLASS_D, 0.0, 0.5, N0) == 0
    assert ground.tracking_residual(0.0, 2.0, 0.5, N0) == 0


@pytest.mark.parametrize(
    ("roughness", "gap"), [(CLASS_C, "12"), (CLASS_D, "25"), (CLASS_E, "49")]
)
def test_rigid_bar_of_12_m_by_hand(roughness, gap, printed):
    # √(2π² G n₀² W/4): for class D √6.064e-4 = 24.6 mm
    assert ground.rigid_bar_gap(roughness, 12.0, N0) / MM == printed(gap)


def test_rigid_bar_gap_is_that_of_a_random_walk():
    # Mid-point of a walk tied at both ends: variance s W/4, s = 2π² G n₀² per metre,
    # since ∫ 2 (1 − cos 2πnX) G n₀²/n² dn = 2π² G n₀² X.
    steps = np.linspace(1e-4, 50.0, 200_001)
    rise = 2 * (1 - np.cos(2 * math.pi * steps * 3.0)) / steps**2
    integral = np.trapezoid(rise, steps)
    gap = ground.rigid_bar_gap(1.0, 3.0 * 4, 1.0)
    # cut off by hand: (2π X)² × 1e-4 below and 2/50 above, 0.13 % together
    assert gap**2 == pytest.approx(integral, rel=2e-3)


def test_bar_just_floats_at_the_contact_loss_speed():
    speed = ground.contact_loss_speed(200.0, 50.0, 0.04, 0.5)
    crest = 50.0 * 0.04 * (2 * math.pi * 0.5 * speed) ** 2
    assert crest == pytest.approx(200.0)


def test_four_times_the_weight_doubles_the_contact_loss_speed():
    light = ground.contact_loss_speed(100.0, 50.0, 0.04, 0.5)
    assert ground.contact_loss_speed(400.0, 50.0, 0.04, 0.5) == pytest.approx(2 * light)


@pytest.mark.parametrize(("percent", "lift"), [(1, "0.06"), (5, "0.30")])
def test_ends_of_a_12_m_bar_on_a_changed_slope(percent, lift, printed):
    # half of 12 m times the slope
    tilt = math.atan(percent / 100)
    assert ground.end_lift(12.0, tilt) == printed(lift)
    assert ground.end_lift(12.0, -tilt) == pytest.approx(-percent * 0.06)


@pytest.mark.parametrize(
    ("formula", "inputs", "key"),
    [
        (ground.roughness_height, (-1e-6, 0.05, 2.0, N0), "must_not_be_negative"),
        (ground.roughness_height, (CLASS_D, 2.0, 0.05, N0), "must_be_at_least"),
        (ground.tracking_residual, (CLASS_D, 1.5, 0.0, N0), "must_be_positive"),
        (ground.rigid_bar_gap, (CLASS_D, -12.0, N0), "must_not_be_negative"),
        (ground.contact_loss_speed, (200.0, 50.0, 0.0, 0.5), "must_be_positive"),
    ],
)
def test_impossible_ground_is_refused(formula, inputs, key):
    with pytest.raises(OutOfRange, match=key):
        formula(*inputs)
