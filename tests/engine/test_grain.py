"""Bushels, kernels and moisture arithmetic against published examples."""

import numpy as np
import pytest

from academy.engine import grain, moisture
from academy.errors import OutOfRange

FOOT, POUND, TONNE = 0.3048, 0.45359237, 1000.0


@pytest.mark.parametrize(
    ("pounds", "count"),
    [(60, "36.74"), (56, "39.368"), (48, "45.930"), (50, "44.09")],
)
def test_bushels_in_a_tonne(pounds, count, printed):
    # Grain-council and provincial tables: wheat and soybean, corn, barley, canola
    assert grain.bushels(TONNE, pounds * POUND) == printed(count)


@pytest.mark.parametrize(("pounds", "density"), [(60, "772"), (56, "721"), (48, "618")])
def test_bulk_density_by_hand(pounds, density, printed):
    # 60 lb in 35.239 L: 27.216/0.035239 = 772 kg/m³
    assert grain.bulk_density(pounds * POUND, 0.035239) == printed(density)


def test_kernels_for_a_loss_and_back():
    kernels = grain.kernels_per_area_for(0.0067, 1.56e-4)
    assert grain.kernel_mass_for(0.0067, kernels) == pytest.approx(1.56e-4)


def test_soybean_of_156_grams_a_thousand_counts_2904_to_the_pound(printed):
    # hand: 453.592/156.2 g = 2.904 thousand
    kernel = grain.kernel_weight(0.1562, 1000)
    assert 1 / (kernel / POUND) == printed("2904")


@pytest.mark.parametrize(
    ("percent", "loss"), [(8, 5.43), (9, 4.4), (10, 3.3), (11, 2.25), (12, 1.14)]
)
def test_nebraska_table_of_overdry_soybean(percent, loss):
    # University of Nebraska 2017, market moisture 13 %; its digits vary, slack 0.05.
    assert 100 * grain.saleable_loss(percent / 100, 0.13) == pytest.approx(
        loss, abs=0.05
    )


@pytest.mark.parametrize(
    ("bushels", "percent", "price", "value", "slack"),
    [
        (75, 9, 9.0, 30.0, 0.5),  # Nebraska 2017: "about $30"
        (60, 11, 8.5, 11.48, 0.03),  # Nebraska 2009; 60 bu/ac inferred
        (60, 10, 12.0, 23.98, 0.05),  # Ohio State 2021, exact 24.00
        (40, 9, 13.0, 23.4, 0.6),  # NDSU 2022 multiplies the rounded 1.8; exact 22.86
    ],
)
def test_money_given_away_in_dry_soybean(bushels, percent, price, value, slack):
    lost = bushels * grain.saleable_loss(percent / 100, 0.13)
    assert lost * price == pytest.approx(value, abs=slack)


def test_grain_at_or_above_the_market_moisture_gives_nothing_away():
    assert grain.saleable_loss(0.13, 0.13) == 0
    assert grain.saleable_loss(0.16, 0.13) == 0


def test_saleable_loss_is_what_shrink_would_put_back():
    missing = grain.saleable_loss(0.09, 0.13)
    assert moisture.shrink(100.0, 0.13, 0.09) == pytest.approx(100.0 * (1 - missing))


def test_a_thousand_wet_bushels_of_corn(printed):
    # Purdue guide: 26 to 15 % leaves 870.6
    assert moisture.shrink(1000.0, 0.26, 0.15) == printed("870.6")


@pytest.mark.parametrize(
    ("percent", "wet"), [(18, "63.66"), (17, "62.89"), (15, "61.41")]
)
def test_sixty_bushels_at_13_per_cent_weigh_more_when_wet(percent, wet, printed):
    # Michigan State University, overly dry soybeans
    assert moisture.shrink(60.0, 0.13, percent / 100) == printed(wet)


def test_standard_bushel_of_soybean_holds_52_2_pounds_dry(printed):
    # University of Nebraska 2009: 60 lb at 13 %
    assert moisture.shrink(60.0, 0.13, 0.0) == printed("52.2")


@pytest.mark.parametrize(
    ("percent", "factor"), [(15.5, "1.183"), (15, "1.1765"), (13, "1.1494")]
)
def test_water_shrink_per_point(percent, factor, printed):
    # Printed factors (Purdue, industry example): 1/(1 − M)
    assert moisture.water_shrink_per_point(percent / 100) == printed(factor)


def test_ten_points_of_corn_shrink(printed):
    # industry example: 25.5 to 15.5 % = 11.83 %
    left = moisture.shrink(100.0, 0.255, 0.155)
    assert 100.0 - left == printed("11.83")


def test_insurance_shrink_of_wet_corn():
    # agency table: 20 %, 1.2 % a point to 15 %: 940 of 1,000
    assert moisture.paid_mass(1000.0, 0.20, 0.15, 1.2) == pytest.approx(940)


def test_paid_by_the_water_factor_is_shrink_itself():
    factor = moisture.water_shrink_per_point(0.15)
    paid = moisture.paid_mass(1000.0, 0.22, 0.15, factor)
    assert paid == pytest.approx(moisture.shrink(1000.0, 0.22, 0.15))


def test_shrinking_there_and_back_changes_nothing():
    dried = moisture.shrink(1000.0, 0.22, 0.13)
    assert moisture.shrink(dried, 0.13, 0.22) == pytest.approx(1000.0)


def test_shrinking_in_two_steps_is_one_shrink():
    halfway = moisture.shrink(1000.0, 0.25, 0.18)
    whole = moisture.shrink(1000.0, 0.25, 0.13)
    assert moisture.shrink(halfway, 0.18, 0.13) == pytest.approx(whole)


def test_bases_by_hand_and_back():
    # 25 of water on 100 dry: 25/125 = 20 % wet basis
    assert moisture.wet_basis(0.25) == pytest.approx(0.2)
    wet = np.linspace(0.0, 0.9, 10)
    np.testing.assert_allclose(moisture.wet_basis(moisture.dry_basis(wet)), wet)


@pytest.mark.parametrize(
    ("formula", "inputs", "key"),
    [
        (grain.bushels, (1000.0, 0.0), "must_be_positive"),
        (grain.bulk_density, (27.0, 0.0), "must_be_positive"),
        (grain.kernels_per_area_for, (0.01, 0.0), "must_be_positive"),
        (grain.kernel_mass_for, (0.01, 0.0), "must_be_positive"),
        (grain.kernel_weight, (0.16, 0.0), "must_be_positive"),
        (grain.saleable_loss, (13.0, 0.13), "must_be_a_fraction"),
        (moisture.shrink, (1000.0, 0.2, 1.0), "must_be_below_one"),
        (moisture.water_shrink_per_point, (1.0,), "must_be_below_one"),
        (moisture.paid_mass, (1000.0, 0.12, 0.13, 1.2), "must_be_at_least"),
        (moisture.paid_mass, (1000.0, 0.9, 0.0, 1.2), "must_be_a_fraction"),
        (moisture.dry_basis, (1.0,), "must_be_below_one"),
        (moisture.wet_basis, (-0.1,), "must_not_be_negative"),
    ],
)
def test_impossible_grain_is_refused(formula, inputs, key):
    with pytest.raises(OutOfRange, match=key):
        formula(*inputs)
