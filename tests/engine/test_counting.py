"""Counting losses against published worked examples."""

import math

import numpy as np
import pytest

from academy.engine import counting, grain
from academy.errors import OutOfRange

FOOT, INCH, POUND = 0.3048, 0.0254, 0.45359237
ACRE = 43560 * FOOT**2
BUSHEL = {"soybean": 60 * POUND, "wheat": 60 * POUND, "corn": 56 * POUND}
BUSHEL |= {"barley": 48 * POUND, "oats": 32 * POUND, "canola": 50 * POUND}


def bushel_per_acre(crop):
    return BUSHEL[crop] / ACRE


def rule_mass(crop, kernels_per_square_foot):
    """Kernel mass that a rule of so many kernels per bushel an acre implies."""
    return grain.kernel_mass_for(
        bushel_per_acre(crop), kernels_per_square_foot / FOOT**2
    )


@pytest.mark.parametrize(
    ("crop", "kernels", "grams"),
    [
        # Rules: Iowa State (corn, soybean), smallgrains.org after NDSU (others). Grams
        # per thousand by hand: lb/bu × 10.413/kernels; the tables print a tenth.
        ("corn", 2, "291.6"),
        ("soybean", 4, "156.2"),
        ("wheat", 20, "31.2"),
        ("wheat", 16, "39.0"),
        ("barley", 14, "35.7"),
        ("oats", 10, "33.3"),
    ],
)
def test_kernel_mass_behind_a_counting_rule(crop, kernels, grams, printed):
    assert rule_mass(crop, kernels) * 1e6 == printed(grams)


def test_sunflower_rule_implies_a_large_seed():
    # The Sunflower 2021 after NDSU: 10 seeds per square foot = 100 lb/ac; 104.1 g.
    mass = grain.kernel_mass_for(100 * POUND / ACRE, 10 / FOOT**2)
    assert mass * 1e6 == pytest.approx(104.1, abs=0.1)


@pytest.mark.parametrize(
    ("crop", "per_quadrat", "milligrams"),
    [("wheat", 27, "37.0"), ("barley", 23, "43.5"), ("lupin", 7, "142.9")],
)
def test_seeds_in_a_tenth_of_a_square_metre(crop, per_quadrat, milligrams, printed):
    # DPIRD Western Australia 2018: seeds for 100 kg/ha = 0.01 kg/m² in 0.1 m².
    mass = grain.kernel_mass_for(0.01, per_quadrat / 0.1)
    assert mass * 1e6 == printed(milligrams), crop
    assert counting.count_for(0.01, 0.1, mass) == pytest.approx(per_quadrat)


def test_canola_container():
    # Same table: 267 per 0.1 m² is about 60 in 0.022 m² (58.7).
    mass = grain.kernel_mass_for(0.01, 267 / 0.1)
    assert counting.count_for(0.01, 0.022, mass) == pytest.approx(60, abs=2)


def test_michigan_frames():
    # Staton 2012: harvested 10, 9, 11, 11, standing 2, 1, 2, 2: 8.5 beans, printed 2.2
    # (exact 2.125) bushels an acre.
    behind = counting.mean_count(np.array([10.0, 9.0, 11.0, 11.0]))
    before = counting.mean_count(np.array([2.0, 1.0, 2.0, 2.0]))
    assert behind - before == pytest.approx(8.5)
    mass = rule_mass("soybean", 4)
    lost = counting.header_loss(
        counting.count_to_mass_per_area(behind, FOOT**2, mass),
        counting.count_to_mass_per_area(before, FOOT**2, mass),
    )
    assert lost / bushel_per_acre("soybean") == pytest.approx(2.125)
    assert lost / bushel_per_acre("soybean") == pytest.approx(2.2, abs=0.08)


def test_purdue_hoop(printed):
    # Burbrink 2021: 25 in hoop = 3.4 square feet, mean count 39.2; printed 2.88 bu/ac
    # from rounded 11.5 per square foot (by hand 39.2/3.409/4 = 2.875).
    area = counting.hoop_area(25 * INCH)
    mean = counting.mean_count(np.array([54.0, 32.0, 35.0, 31.0, 44.0]))
    lost = counting.count_to_mass_per_area(mean, area, rule_mass("soybean", 4))
    assert area / FOOT**2 == printed("3.4")
    assert mean == printed("39.2")
    assert lost / bushel_per_acre("soybean") == pytest.approx(2.88, abs=0.006)


def test_forty_beans_in_ten_square_feet_are_a_bushel():
    # University of Nebraska 2010
    found = counting.count_for(
        bushel_per_acre("soybean"), 10 * FOOT**2, rule_mass("soybean", 4)
    )
    assert found == pytest.approx(40)


def test_corn_kernels():
    # K-State: 20 per square foot = 10 bu/ac; Georgia: 20 in 2.5 × 4 ft = 1 bu/ac.
    mass = rule_mass("corn", 2)
    dense = counting.count_to_mass_per_area(20, FOOT**2, mass)
    thin = counting.count_to_mass_per_area(20, 2.5 * 4 * FOOT**2, mass)
    assert dense / bushel_per_acre("corn") == pytest.approx(10)
    assert thin / bushel_per_acre("corn") == pytest.approx(1)


@pytest.mark.parametrize(
    ("feet", "inches"),
    [(8, "15"), (10, "12"), (12, "10"), (14, "8.6"), (15, "8"), (16, "7.5"), (20, "6")],
)
def test_frames_of_ten_square_feet(feet, inches, printed):
    # University of Missouri G1280, table 1
    depth = counting.frame_depth(10 * FOOT**2, feet * FOOT)
    assert depth / INCH == printed(inches)


@pytest.mark.parametrize(("rows", "feet"), [(6, "29"), (8, "21.8"), (12, "14.5")])
def test_strips_of_a_hundredth_of_an_acre(rows, feet, printed):
    # University of Georgia 2021: rows of 30 in
    assert counting.frame_depth(ACRE / 100, rows * 30 * INCH) / FOOT == printed(feet)


def test_concentration_of_a_30_ft_cut_in_a_5_ft_windrow():
    # Grainews
    assert counting.concentration_factor(30 * FOOT, 5 * FOOT) == pytest.approx(6)


def test_pan_of_canola_by_hand(printed):
    # 3 g per square foot, factor 6: 0.5 g/ft² × 96.03 = 48.0 lb/ac = 0.96 bu/ac
    lost = counting.pan_loss(3e-3, FOOT**2, 6.0)
    assert lost * ACRE / POUND == printed("48.0")
    assert lost / bushel_per_acre("canola") == printed("0.96")


def test_oats_behind_a_20_ft_header():
    # Worksheet: 200 kernels in a 1 ft strip over the whole rear = 10 per square foot of
    # the cut = 1 bu/ac. A rear of 5 ft: 40 per square foot there, factor 4.
    mass = rule_mass("oats", 10)
    heap = counting.count_to_mass_per_area(200, 5 * FOOT**2, mass)
    lost = counting.machine_loss(heap, 0.0, counting.concentration_factor(20, 5))
    assert lost / bushel_per_acre("oats") == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("harvested", "lost", "percent"), [(32, 0.8, "2.4"), (29, 2.0, "6.5")]
)
def test_canola_loss_shares(harvested, lost, percent, printed):
    # Canola Digest: base is harvested plus lost
    assert 100 * counting.loss_share(lost, harvested) == printed(percent)


def test_header_machine_and_preharvest_add_up_to_what_lies_there():
    before, under, behind = 0.004, 0.015, 0.075
    header = counting.header_loss(under, before)
    machine = counting.machine_loss(behind, under, 6.0)
    assert before + header + 6.0 * machine == pytest.approx(behind)


def test_spread_over_the_full_width_nothing_is_concentrated():
    assert counting.machine_loss(0.03, 0.01, 1.0) == pytest.approx(0.02)


def test_losing_all_is_a_share_of_one():
    assert counting.loss_share(0.3, 0.0) == 1.0
    assert counting.loss_share(0.0, 0.3) == 0.0


def test_count_and_mass_are_inverse():
    mass = counting.count_to_mass_per_area(37.0, 0.9, 1.6e-4)
    assert counting.count_for(mass, 0.9, 1.6e-4) == pytest.approx(37.0)


def test_hoop_as_round_as_its_square_is_wide():
    # a circle fills π/4 of its square
    assert counting.hoop_area(2.0) / 4.0 == pytest.approx(math.pi / 4)


@pytest.mark.parametrize(
    ("formula", "inputs", "key"),
    [
        (counting.count_to_mass_per_area, (-1, 0.1, 1e-4), "must_not_be_negative"),
        (counting.count_for, (0.01, 0.1, 0.0), "must_be_positive"),
        (counting.concentration_factor, (9.0, 0.0), "must_be_positive"),
        (counting.header_loss, (0.01, 0.02), "must_be_at_least"),
        (counting.machine_loss, (0.01, 0.02, 6.0), "must_be_at_least"),
        (counting.pan_loss, (0.003, 0.0, 6.0), "must_be_positive"),
        (counting.loss_share, (0.0, 0.0), "must_be_positive"),
        (counting.hoop_area, (0.0,), "must_be_positive"),
        (counting.frame_depth, (1.0, 0.0), "must_be_positive"),
        (counting.mean_count, (np.array([3.0, -1.0]),), "must_not_be_negative"),
    ],
)
def test_impossible_counts_are_refused(formula, inputs, key):
    with pytest.raises(OutOfRange, match=key):
        formula(*inputs)
