"""Counts in frames, hoops and strips, and a speed paced out on foot."""

import numpy as np
import pytest

from academy.engine import counting, frames, pacing
from academy.errors import OutOfRange

BEAN = 0.000156


def test_pairs_of_frames_tell_what_the_header_added():
    # Staton 2012: (10 − 2 + 9 − 1 + 11 − 2 + 11 − 2)/4 = 8.5
    counts, standing = np.array([10.0, 9, 11, 11]), np.array([2.0, 1, 2, 2])
    assert frames.excess_count(counts, standing) == 8.5
    apart = counting.mean_count(counts) - counting.mean_count(standing)
    assert frames.excess_count(counts, standing) == pytest.approx(apart)


def test_one_pair_below_zero_is_no_error_but_the_mean_is():
    assert frames.excess_count(np.array([1.0, 9.0]), np.array([2.0, 2.0])) == 3.0
    with pytest.raises(OutOfRange):
        frames.excess_count(np.array([1.0, 2.0]), np.array([2.0, 2.0]))


def test_a_hoop_is_a_frame_of_its_own_area():
    # π/4 × 0.635² = 0.31669 m²; 100 × 0.156 g/0.31669 = 49.26 g/m²
    assert frames.hoop_loss(100.0, 0.635, BEAN) == pytest.approx(0.04926, abs=5e-6)
    twice = frames.hoop_loss(100.0, 1.27, BEAN)
    assert frames.hoop_loss(100.0, 0.635, BEAN) == pytest.approx(4 * twice)


def test_a_strip_does_not_ask_how_wide_the_straw_lies():
    # the same kernels counted in a narrow windrow, and spread back over the cut
    strip = frames.strip_loss(200.0, 0.3048, 6.096, BEAN)
    dense = counting.count_to_mass_per_area(200.0, 0.3048 * 1.5, BEAN)
    factor = counting.concentration_factor(6.096, 1.5)
    assert strip == pytest.approx(counting.machine_loss(dense, 0.0, factor))


def test_density_and_pods_come_to_the_same_grain():
    # 30 plants with 2 pods of 2.5 seeds leave 150 seeds on a square metre
    assert frames.kernels_per_area(75.0, 0.5) == 150.0
    left = frames.pod_loss(30.0, 2.0, 2.5, BEAN)
    assert left == pytest.approx(counting.count_to_mass_per_area(75.0, 0.5, BEAN))


def test_paces_and_speed_are_inverse():
    speed = pacing.paced_speed(29.0, 20.0, 0.9144)
    assert pacing.paces(speed, 20.0, 0.9144) == pytest.approx(29.0)
    # twice the time, twice the paces
    assert pacing.paces(speed, 40.0, 0.9144) == pytest.approx(58.0)


@pytest.mark.parametrize(
    ("formula", "given"),
    [
        (frames.kernels_per_area, [1.0, 0.0]),
        (frames.kernels_per_area, [-1.0, 1.0]),
        (frames.hoop_loss, [1.0, 0.0, BEAN]),
        (frames.strip_loss, [1.0, 0.0, 6.0, BEAN]),
        (frames.strip_loss, [1.0, 0.3, -6.0, BEAN]),
        (frames.pod_loss, [30.0, -1.0, 2.5, BEAN]),
        (frames.pod_loss, [30.0, 1.0, 2.5, 0.0]),
        (frames.excess_count, [np.array([-1.0]), np.array([0.0])]),
        (pacing.paces, [1.0, 20.0, 0.0]),
        (pacing.paced_speed, [10.0, 0.0, 1.0]),
    ],
)
def test_what_cannot_be_is_refused(formula, given):
    with pytest.raises(OutOfRange):
        formula(*given)
