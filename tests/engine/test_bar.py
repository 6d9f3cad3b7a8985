"""The bar over the ground: what flexing takes up, how often it digs, its bounce."""

import math

import numpy as np
import pytest
from scipy.special import ndtri

from academy.engine.bar import digging_share, flexed_gap, least_ground_force
from academy.engine.ground import contact_loss_speed
from academy.errors import OutOfRange


def test_a_bar_without_travel_leaves_the_whole_gap():
    assert flexed_gap(0.025, 0.0) == pytest.approx(0.025, rel=1e-12)


def test_travel_of_two_spreads_by_hand():
    # ζ = 1: 2 [(1 + 1) Φ(−1) − φ(1)] = 2 (2 × 0.1586553 − 0.2419707) = 0.1506799;
    # its root is 0.388175, of a gap of 0.02: 0.0077635.
    assert flexed_gap(0.02, 0.04) == pytest.approx(0.0077635, abs=1e-7)


def test_what_is_left_is_what_sampling_shows():
    # Law: a normal gap cut back towards zero by half the travel, sampled evenly.
    shares = (np.arange(200_000) + 0.5) / 200_000
    left = np.maximum(np.abs(0.02 * ndtri(shares)) - 0.03, 0.0)
    assert flexed_gap(0.02, 0.06) == pytest.approx(
        math.sqrt(np.mean(left**2)), rel=1e-3
    )


def test_more_travel_leaves_less_down_to_nothing():
    gaps = flexed_gap(0.02, np.linspace(0.0, 0.4, 60))
    assert np.all(np.diff(gaps) <= 1e-12)
    assert gaps[-1] == pytest.approx(0.0, abs=1e-6)


def test_gap_keeps_its_scale():
    assert flexed_gap(0.04, 0.08) == pytest.approx(2 * flexed_gap(0.02, 0.04))


@pytest.mark.parametrize(("cut", "share"), [(0.03, 0.5), (0.04, 0.158655)])
def test_digging_is_half_at_its_height_and_a_sixth_one_spread_above(cut, share):
    # Φ(−1) = 0.158655
    assert digging_share(cut, 0.03, 0.01) == pytest.approx(share, abs=1e-6)


def test_digging_falls_with_the_cut_and_rises_with_roughness_above_it():
    assert np.all(np.diff(digging_share(np.linspace(0, 0.1, 20), 0.03, 0.01)) < 0)
    assert digging_share(0.05, 0.03, 0.02) > digging_share(0.05, 0.03, 0.01)


def test_force_is_gone_exactly_where_contact_is_lost():
    speed = contact_loss_speed(200.0, 30.0, 0.02, 0.5)
    assert least_ground_force(200.0, 30.0, 0.02, 0.5, speed) == pytest.approx(
        0.0, abs=1e-9
    )


def test_force_at_2_m_per_s_by_hand():
    # 2π × 0.5 × 2 = 6.283185; squared 39.478418; × 30 × 0.02 = 23.687051.
    assert least_ground_force(200.0, 30.0, 0.02, 0.5, 2.0) == pytest.approx(
        176.312949, abs=1e-6
    )


@pytest.mark.parametrize(
    "refused",
    [
        lambda: flexed_gap(0.0, 0.1),
        lambda: flexed_gap(0.02, -0.1),
        lambda: digging_share(-0.01, 0.03, 0.01),
        lambda: digging_share(0.03, 0.03, 0.0),
        lambda: least_ground_force(-1.0, 30.0, 0.02, 0.5, 2.0),
    ],
)
def test_impossible_inputs_are_refused(refused):
    with pytest.raises(OutOfRange):
        refused()
