"""Shares of a spread on toys whose variances are worked out by hand."""

import numpy as np
import pytest

from academy.engine.spread import Effort, spread, uncertain, variance_along

# Triangular: variance (a2 + b2 + c2 - ab - ac - bc)/18.
# x on 0 - 1/2 - 1: (0 + 1 + 1/4 - 0 - 0 - 1/2)/18 = 1/24, mean 1/2
# y on 0 - 0 - 3: 9/18 = 1/2, mean 1
BOUNDS = {"width": (1.0, 1.0, 1.0), "x": (0.0, 0.5, 1.0), "y": (0.0, 0.0, 3.0)}


def of(cost):
    return spread(cost, BOUNDS)


def test_only_what_has_a_range_is_uncertain():
    assert set(uncertain(BOUNDS)) == {"x", "y"}


def test_shares_of_a_sum_are_the_variances_of_its_terms():
    # 6x + y: 36/24 = 1.5 and 0.5, of 2 in all
    found = of(lambda c: 6.0 * c["x"] + c["y"])
    assert found.variance == pytest.approx(2.0, rel=0.02)
    assert found.shares["x"] == pytest.approx(0.75, abs=0.02)
    assert found.shares["y"] == pytest.approx(0.25, abs=0.02)
    assert sum(found.shares.values()) == pytest.approx(1.0, abs=0.02)


def test_what_a_product_causes_together_is_in_no_share():
    # xy: x alone 1/24 * 1**2 = 1/24, y alone 1/2 * (1/2)**2 = 3/24, together
    # 1/24 * 1/2 = 0.5/24; of 4.5/24 in all
    found = of(lambda c: c["x"] * c["y"])
    assert found.variance == pytest.approx(4.5 / 24, rel=0.03)
    assert found.shares["x"] == pytest.approx(1 / 4.5, abs=0.02)
    assert found.shares["y"] == pytest.approx(3 / 4.5, abs=0.03)
    assert sum(found.shares.values()) < 1.0


def test_a_bent_cost_of_one_coefficient_is_all_its_own():
    found = of(lambda c: np.exp(2.0 * c["x"]))
    assert found.shares["x"] == pytest.approx(1.0, abs=0.02)
    assert found.shares["y"] == 0.0


def test_a_cost_that_never_changes_has_no_shares():
    found = of(lambda c: np.zeros_like(c["x"] + c["y"]) + 7.0)
    assert found.variance == 0.0
    assert set(found.shares.values()) == {0.0}


def test_the_scale_of_the_cost_does_not_matter():
    one = of(lambda c: 6.0 * c["x"] + c["y"])
    other = of(lambda c: 5.0 - 100.0 * (6.0 * c["x"] + c["y"]))
    assert other.shares == pytest.approx(dict(one.shares))


def test_coefficients_taken_together_are_each_by_itself():
    def cost(c):
        return c["x"] * c["y"] + np.exp(c["x"])

    alone, both = (
        spread(cost, BOUNDS, Effort(draws=64, others=16, points=4, at_once=count))
        for count in (1, 2)
    )
    assert alone.shares == pytest.approx(dict(both.shares), rel=1e-12)
    assert alone.variance == both.variance


def test_one_given_by_itself_causes_the_variance_of_its_term():
    # 6x + y with y drawn about its mean: 36/24 = 1.5, whatever y is
    y = np.array([0.2, 1.0, 1.8])
    caused = variance_along(lambda x: 6.0 * x + y, BOUNDS["x"], 16)
    assert caused == pytest.approx(1.5, rel=0.01)
