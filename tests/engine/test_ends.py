"""Dividers: what suits the crop loses as ever, the wrong ones lose more."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from academy.catalog import coefficients, parts
from academy.engine import divider
from academy.engine.ends import (
    EndsState,
    clear_choice,
    ends_effect,
    long_factor,
    parting_need,
    short_factor,
    tallness,
)
from academy.engine.header import run
from academy.errors import OutOfRange

PART = parts.load("ends")
STILL = parts.load("stand").in_order
CROPS = ("soybean", "wheat", "canola", "field-pea", "barley")
FEW = settings(max_examples=60, deadline=None)
SHARES = st.floats(0.0, 1.0)
HEIGHTS = st.floats(0.0, 2.5)


def effect(field, machine, dividers, tangling=0.0, crop="soybean", toughness=0.2):
    return ends_effect(
        field=field,
        machine=machine,
        stand=replace(STILL, tangling=tangling),
        toughness=toughness,
        believed=coefficients.load(crop).values,
        state=EndsState(dividers=dividers),
        c=PART.values,
    )


# --- in order


@pytest.mark.parametrize("crop", CROPS)
@pytest.mark.parametrize("lodging", [0.0, 0.4, 1.0])
def test_dividers_that_suit_lose_what_the_run_says(
    field, machine, settings, crop, lodging
):
    lying = replace(field, lodging=lodging)
    read = run(lying, machine, settings, coefficients.load(crop).values)
    for tangling in (0.0, 0.7):
        found = effect(lying, machine, PART.in_order.dividers, tangling, crop)
        assert found.divider_factor == 1.0
        assert found.divider_share == float(read.divider)


# --- two ends, however wide


def test_the_width_lost_at_an_end_does_not_depend_on_the_width(field, machine):
    # By hand: the share is c W0/W of the width W over two ends: c W0/2 at each.
    believed = coefficients.load("canola").values
    for width in (7.0, 9.0, 14.0):
        found = effect(field, replace(machine, width=width), "suited", crop="canola")
        by_hand = believed.divider_share * believed.divider_width / 2
        assert found.width_lost == pytest.approx(by_hand)
    wide, narrow = (replace(machine, width=w) for w in (14.0, 7.0))
    once, twice = (effect(field, m, "short").divider_share for m in (wide, narrow))
    assert twice == pytest.approx(2 * once)
    assert divider.divider_share(0.002, 9.0, 12.0) == pytest.approx(0.0015)


# --- which ones


def test_practice_fits_long_ones_in_tall_tangled_or_lodged_crop(field, machine):
    # Common practice: tangled crop has to be parted before the knife meets it; a long,
    # low point gets beneath crop that lies across.
    tall = replace(field, crop_height=1.2)
    assert effect(tall, machine, "short", tangling=0.8).clear_choice == 1.0
    lodged = replace(field, lodging=0.9, crop_height=0.3)
    assert effect(lodged, machine, "short").clear_choice == 1.0


def test_practice_fits_short_ones_in_low_upright_crop(field, machine):
    # Common practice: low, upright crop parts by itself; long points run it down.
    low = replace(field, crop_height=0.3)
    assert effect(low, machine, "long").clear_choice == -1.0


def test_in_ordinary_crop_it_is_a_matter_of_taste(field, machine):
    assert effect(field, machine, "short").clear_choice == 0.0


@FEW
@given(SHARES, SHARES, SHARES, SHARES)
def test_the_more_there_is_to_part_the_worse_are_short_ones(one, other, tall, lodging):
    less, more = sorted((one, other))
    needs = [parting_need(tangling, lodging, tall) for tangling in (less, more)]
    assert 0.0 <= needs[0] <= needs[1] <= 1.0 + 1e-12
    factors = [short_factor(min(need, 1.0), PART.values.short_push) for need in needs]
    assert 1.0 <= factors[0] <= factors[1] <= 1.0 + PART.values.short_push


@FEW
@given(SHARES, SHARES, SHARES, SHARES)
def test_long_ones_spare_tall_tough_crop_and_never_lose_less_than_usual(
    parting, one, other, tall
):
    brittle, tough = sorted((one, other))
    worse, better = (
        long_factor(parting, tall, each, PART.values) for each in (brittle, tough)
    )
    assert 1.0 <= better <= worse
    assert long_factor(0.0, 1.0, brittle, PART.values) == 1.0
    most = 1.0 + PART.values.short_push * PART.values.long_left
    assert long_factor(1.0, tall, tough, PART.values) == pytest.approx(most)


@FEW
@given(HEIGHTS, HEIGHTS)
def test_a_higher_crop_is_taller(one, other):
    low, high = (tallness(h, PART.values.tall_crop) for h in sorted((one, other)))
    assert 0.0 <= low <= high < 1.0


@FEW
@given(HEIGHTS, SHARES, SHARES, SHARES)
def test_one_of_the_two_always_suits(
    field, machine, height, lodging, tangling, toughness
):
    lying = replace(field, crop_height=height, lodging=lodging)
    found = [
        effect(lying, machine, kind, tangling, "canola", toughness)
        for kind in ("short", "long")
    ]
    factors = [float(each.divider_factor) for each in found]
    assert min(factors) == 1.0
    for each in found:
        assert 0.0 < each.divider_share < 1.0
        assert 0.0 < each.width_lost < machine.width / 2
    clear = PART.values.clear_difference
    wrong = {1.0: factors[0], -1.0: factors[1], 0.0: clear}[
        float(found[0].clear_choice)
    ]
    assert wrong >= clear
    assert found[0].clear_choice != 0.0 or max(factors) <= clear * (1 + 1e-12)


def test_many_fields_at_once(field, machine):
    several = replace(field, crop_height=np.array([0.3, 1.2]))
    found = effect(several, machine, "short", tangling=0.8)
    assert found.clear_choice.shape == (2,)
    assert found.divider_share[0] < found.divider_share[1]


# --- refusals


@pytest.mark.parametrize(("short", "long", "clear"), [(0, 1, 1.5), (1, 1, 0.9)])
def test_no_loss_at_all_and_no_difference_at_all_are_refused(short, long, clear):
    with pytest.raises(OutOfRange):
        clear_choice(short, long, clear)


def test_more_than_all_plants_tangled_is_refused():
    with pytest.raises(OutOfRange):
        parting_need(1.2, 0.0, 0.5)
