"""Shares put together and taken apart: sums, products, inverses, refusals."""

import numpy as np
import pytest

from academy.engine import shares
from academy.errors import OutOfRange


def test_parts_of_a_whole_come_to_all_of_it():
    # 55 + 28 + 17 = 100, and a sum of decimals that floats cannot hold
    assert shares.total_share(np.array([0.55, 0.28, 0.17])) == 1.0
    assert shares.total_share(np.full(10, 0.1)) == 1.0


def test_the_order_of_parts_does_not_matter():
    parts = np.array([0.01, 0.2, 0.03])
    assert shares.total_share(parts) == shares.total_share(parts[::-1])


def test_a_mean_lies_between_least_and_greatest():
    assert shares.mean_share(np.array([0.02, 0.06])) == pytest.approx(0.04)
    assert shares.mean_share(np.full(3, 0.07)) == pytest.approx(0.07)


def test_fittings_leave_the_product_of_what_each_leaves():
    # 0.2 × 0.5 × 0.75 = 0.075; nothing taken away leaves all, everything leaves none
    assert shares.left_share(0.2, np.array([0.5, 0.25])) == pytest.approx(0.075)
    assert shares.left_share(0.2, np.array([0.0, 0.0])) == 0.2
    assert shares.left_share(0.2, np.array([0.3, 1.0])) == 0.0


def test_mass_and_yield_are_inverse():
    lost = shares.lost_mass(0.06, 0.269)
    assert shares.crop_yield_for(lost, 0.06) == pytest.approx(0.269)


def test_what_is_saved_is_the_difference_of_what_is_lost():
    saved = shares.saved_mass(0.3, 0.075, 0.03)
    apart = shares.lost_mass(0.075, 0.3) - shares.lost_mass(0.03, 0.3)
    assert saved == pytest.approx(apart)
    assert shares.saved_mass(0.3, 0.05, 0.05) == 0.0


def test_a_change_and_times_less_tell_the_same():
    # 8 times less is a fall by 7/8
    assert shares.times_less(8.0, 1.0) == 8.0
    assert shares.relative_change(8.0, 1.0) == -0.875
    assert shares.relative_change(3.0, 3.0) == 0.0


@pytest.mark.parametrize(
    ("formula", "given"),
    [
        (shares.total_share, [np.array([0.7, 0.4])]),
        (shares.total_share, [np.array([0.7, -0.1])]),
        (shares.mean_share, [np.array([0.7, 1.1])]),
        (shares.left_share, [0.2, np.array([1.2])]),
        (shares.left_share, [2.0, np.array([0.2])]),
        (shares.lost_mass, [4.0, 0.3]),
        (shares.lost_mass, [0.4, -0.3]),
        (shares.crop_yield_for, [0.1, 0.0]),
        (shares.crop_yield_for, [0.1, 5.0]),
        (shares.saved_mass, [0.3, 0.03, 0.075]),
        (shares.relative_change, [0.0, 1.0]),
        (shares.times_less, [1.0, 0.0]),
    ],
)
def test_what_cannot_be_is_refused(formula, given):
    with pytest.raises(OutOfRange):
        formula(*given)
