"""Draws of what is not known well: every stratum once, the same for every option."""

from dataclasses import fields, replace

import numpy as np
import pytest

from academy.engine import ensemble
from academy.errors import OutOfRange

SIZE = 256


@pytest.fixture(scope="module")
def draws(soybean):
    return ensemble.draw(soybean.low, soybean.values, soybean.high, SIZE, 20)


def cumulative(x, low, mode, high):
    """Share of a triangular distribution below x, written from its density."""
    up = (x - low) ** 2 / ((high - low) * (mode - low))
    down = 1 - (high - x) ** 2 / ((high - low) * (high - mode))
    return np.where(x < mode, up, down)


def test_each_stratum_of_each_coefficient_is_drawn_once(soybean, draws):
    for name in ("shatter_amplitude", "low_offset", "mat_density", "bunched_loss"):
        low, mode, high = (
            getattr(part, name) for part in (soybean.low, soybean.values, soybean.high)
        )
        shares = cumulative(getattr(draws, name), low, mode, high)
        assert sorted(np.floor(shares * SIZE).astype(int)) == list(range(SIZE)), name


def test_coefficients_are_drawn_in_orders_of_their_own(draws):
    together = np.corrcoef(draws.shatter_amplitude, draws.loose_amplitude)[0, 1]
    assert abs(together) < 4 / np.sqrt(SIZE)  # four standard errors of none


def test_draws_stay_within_their_bounds(soybean, draws):
    for each in fields(draws):
        drawn = getattr(draws, each.name)
        assert drawn.shape == (SIZE,)
        assert np.all(drawn >= getattr(soybean.low, each.name)), each.name
        assert np.all(drawn <= getattr(soybean.high, each.name)), each.name


def test_a_fixed_value_never_changes(soybean, draws):
    assert np.all(draws.plug_limit == soybean.values.plug_limit)
    assert np.all(draws.reference_moisture == soybean.values.reference_moisture)


def test_the_mean_is_that_of_a_triangle(soybean, draws):
    # (low + value + high)/3; strata leave far less than one part in two hundred.
    low, value, high = (
        part.shatter_amplitude for part in (soybean.low, soybean.values, soybean.high)
    )
    assert draws.shatter_amplitude.mean() == pytest.approx(
        (low + value + high) / 3, rel=0.005
    )


def test_same_seed_same_draws_other_seed_others(soybean, draws):
    bounds = soybean.low, soybean.values, soybean.high
    again = ensemble.draw(*bounds, SIZE, 20)
    other = ensemble.draw(*bounds, SIZE, 21)
    assert np.array_equal(again.pod_share, draws.pod_share)
    assert not np.array_equal(other.pod_share, draws.pod_share)


@pytest.mark.parametrize(
    ("share", "value"),
    [
        (0.0, 1.0),
        (1.0, 7.0),
        # mode 3 holds (3 − 1)/(7 − 1) = 1/3 of the mass below it
        (1 / 3, 3.0),
        # 1 + √(1/12 × 6 × 2) = 2
        (1 / 12, 2.0),
        # 7 − √(1/6 × 6 × 4) = 5
        (5 / 6, 5.0),
    ],
)
def test_triangle_from_1_over_3_to_7_by_hand(share, value):
    assert ensemble.triangular(share, 1.0, 3.0, 7.0) == pytest.approx(value)


def test_bounds_out_of_order_and_no_draws_are_refused(soybean):
    wrong = replace(soybean.low, pod_share=soybean.high.pod_share + 1)
    with pytest.raises(OutOfRange):
        ensemble.draw(wrong, soybean.values, soybean.high, SIZE, 1)
    with pytest.raises(OutOfRange):
        ensemble.draw(soybean.low, soybean.values, soybean.high, 0, 1)


def test_standard_normal_matches_the_printed_table():
    # Any table of the normal distribution: 1.28, 1.645, 1.96 at 90, 95, 97.5 %.
    shares = np.array([0.5, 0.9, 0.95, 0.975])
    table = [0.0, 1.28, 1.645, 1.96]
    assert ensemble.standard_normal(shares) == pytest.approx(table, abs=0.005)


def test_standard_normal_is_symmetric_and_refuses_what_is_no_share():
    shares = np.linspace(0.01, 0.99, 99)
    mirrored = -ensemble.standard_normal(1.0 - shares)
    assert ensemble.standard_normal(shares) == pytest.approx(mirrored, abs=1e-12)
    with pytest.raises(OutOfRange, match="must_be_a_fraction"):
        ensemble.standard_normal(1.01)
