"""Pods on the stubble, grain under the knife and at the ends."""

import math

import numpy as np
import pytest

from academy.engine.divider import divider_share
from academy.engine.lodging import lodged_share
from academy.engine.stubble import head_share, stubble_share
from academy.errors import OutOfRange

INCH, CM = 0.0254, 0.01


@pytest.mark.parametrize(("inches", "percent"), [(3.5, 5.4), (5.0, 9.4), (6.5, 12.2)])
def test_remembered_stubble_table(inches, percent):
    # From memory, not confirmed; the fitted constants belong to this very row, so it
    # only checks the form. One point of slack is the stated misfit.
    share = stubble_share(inches * INCH, 2.63 * CM, 3.0 * CM, 0.893)
    assert 100 * share == pytest.approx(percent, abs=1.0)


def test_extra_inch_of_tall_stubble_costs_about_a_bushel_of_fifty():
    # Iowa State University, Hanna: an extra inch ≈ 1 bu/ac; 50 bu/ac assumed.
    low, high = stubble_share(np.array([6.0, 7.0]) * INCH, 0.026, 0.03, 0.9)
    assert 50 * (high - low) == pytest.approx(1.0, abs=0.3)


def test_at_the_mean_lowest_pod_the_loss_is_spread_times_density():
    # ζ = 0: s σ/√(2π) = 1.1 × 0.035/2.506628 = 0.015359
    assert stubble_share(0.05, 0.05, 0.035, 1.1) == pytest.approx(0.015359, abs=5e-7)


def test_far_above_the_lowest_pods_it_is_a_straight_line():
    assert stubble_share(0.4, 0.05, 0.03, 1.1) == pytest.approx(1.1 * 0.35)


def test_far_below_them_nothing_is_lost():
    assert stubble_share(0.0, 0.3, 0.03, 1.1) == pytest.approx(0.0, abs=1e-12)


def test_loss_above_and_below_the_mean_differ_by_the_line():
    # ζΦ(ζ) + φ(ζ) minus its mirror is ζ
    above, below = (stubble_share(0.1 + d, 0.1, 0.03, 1.0) for d in (0.02, -0.02))
    assert above - below == pytest.approx(0.02)


def test_no_cut_leaves_more_than_the_crop():
    assert stubble_share(5.0, 0.05, 0.03, 1.1) == 1.0


def test_lodged_loss_by_hand():
    # 1 − exp(−3 × 0.5 × 0.1) = 1 − e^−0.15 = 0.139292
    assert lodged_share(0.5, 0.1, 3.0) == pytest.approx(0.139292, abs=5e-7)


def test_lodged_loss_is_zero_standing_or_cut_at_the_ground():
    assert lodged_share(0.0, 0.2, 3.0) == 0
    assert lodged_share(1.0, 0.0, 3.0) == 0


def test_lodged_loss_rises_with_lodging_and_height_and_stays_a_share():
    grid = lodged_share(np.linspace(0, 1, 9)[:, None], np.linspace(0.01, 2, 9), 3.0)
    assert np.all(np.diff(grid, axis=0) > 0)
    assert np.all(np.diff(grid[1:], axis=1) > 0)
    assert np.all(grid < 1)


def test_lodged_loss_is_proportional_while_small():
    assert lodged_share(0.1, 0.001, 3.0) == pytest.approx(3e-4, rel=1e-3)


def test_divider_loss_by_hand_and_on_twice_the_width():
    # 3 % at 9 m: 3 × 9/12 = 2.25 % at 12 m
    assert divider_share(0.03, 9.0, 12.0) == pytest.approx(0.0225)
    assert divider_share(0.03, 9.0, 18.0) == pytest.approx(0.015)


@pytest.mark.parametrize(
    ("formula", "inputs"),
    [
        (stubble_share, (-0.01, 0.05, 0.03, 1.1)),
        (stubble_share, (0.08, 0.05, 0.0, 1.1)),
        (stubble_share, (0.08, math.inf, 0.03, 1.1)),
        (lodged_share, (1.1, 0.08, 3.0)),
        (divider_share, (0.03, 9.0, 0.0)),
    ],
)
def test_impossible_stands_are_refused(formula, inputs):
    with pytest.raises(OutOfRange):
        formula(*inputs)


def test_heads_below_the_cut_by_a_table_of_the_normal_distribution():
    # Φ(−1) = 0.1587 and Φ(1.645) = 0.9500: any table of the normal distribution.
    assert head_share(0.60, 0.66, 0.06) == pytest.approx(0.1587, abs=5e-5)
    assert head_share(0.66 + 1.645 * 0.06, 0.66, 0.06) == pytest.approx(0.95, abs=5e-5)


def test_a_cut_at_the_ground_leaves_no_head_and_one_over_the_crop_leaves_all():
    assert head_share(0.0, 0.7, 0.06) == pytest.approx(0.0, abs=1e-12)
    assert head_share(1.2, 0.7, 0.06) == pytest.approx(1.0, abs=1e-12)


@pytest.mark.parametrize("wrong", [(-0.1, 0.7, 0.06), (0.1, 0.7, 0.0)])
def test_heads_refuse_what_cannot_be(wrong):
    with pytest.raises(OutOfRange):
        head_share(*wrong)
