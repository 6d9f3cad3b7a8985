"""The item curve: par at the line, chance at the bottom, slips at the top."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from academy.catalog import competence
from academy.competence.item_curve import (
    Item,
    design_weight,
    difficulty_for,
    expected_score,
    item_for,
    kappa_for,
    part_weight,
)
from academy.errors import OutOfRange

MODEL = competence.load()


@given(st.floats(0, 0.4), st.floats(0.05, 0.95), st.floats(0, 1.5))
def test_a_person_on_the_line_scores_par(floor, along, difficulty_sd):
    par = floor + along * (0.98 - floor)
    kappa = kappa_for(difficulty_sd)
    item = Item(floor, 0.98, difficulty_for(par, floor, 0.98, kappa), kappa)
    assert float(expected_score(np.float64(0), item)) == pytest.approx(par, abs=1e-12)


def test_a_known_curve_by_hand():
    # par 0.677 of 0 to 0.98: q = 0.690816, b = -ln(q / (1 - q)) = -0.8039
    assert difficulty_for(0.677, 0, 0.98) == pytest.approx(-0.8039, abs=5e-5)
    # at its own difficulty a curve is half-way: 0.25 + 0.73 / 2 = 0.615
    item = Item(0.25, 0.98, 0.4)
    assert float(expected_score(np.float64(0.4), item)) == pytest.approx(0.615)
    # one logit above: 0.25 + 0.73 * 0.7310586 = 0.783673
    assert float(expected_score(np.float64(1.4), item)) == pytest.approx(
        0.783673, abs=5e-7
    )


def test_the_far_ends_are_chance_and_slips():
    item = item_for(0.7, 0.25, MODEL)
    ends = expected_score(np.array([-60.0, 60.0]), item)
    assert ends == pytest.approx([0.25, MODEL.ceiling], abs=1e-9)


def test_the_curve_rises_everywhere():
    item = item_for(0.7, 0.25, MODEL)
    assert (np.diff(expected_score(np.linspace(-5, 5, 200), item)) > 0).all()


def test_doubt_about_the_difficulty_flattens_the_curve():
    assert kappa_for(0.0) == 1.0
    # 1 / sqrt(1 + 3.14159 * 0.25 / 8) = 1 / 1.0479384 = 0.954255
    assert kappa_for(0.5) == pytest.approx(0.954255, abs=5e-7)
    assert kappa_for(1.0) < kappa_for(0.5)


@pytest.mark.parametrize(("parts", "wanted"), [(1, 1.0), (4, 2.11), (6, 2.40)])
def test_parts_that_share_a_stem_count_less(parts, wanted):
    # m / (1 + (m - 1) 0.3): 4 / 1.9 = 2.105, 6 / 2.5 = 2.4
    assert design_weight(parts, 0.3) == pytest.approx(wanted, abs=0.006)
    assert design_weight(parts, 0.0) == parts
    assert design_weight(parts, 1.0) == pytest.approx(1.0)


def test_the_parts_of_a_scenario_add_up_to_its_weight():
    whole = design_weight(4, MODEL.part_correlation)
    assert 4 * part_weight(4, MODEL) == pytest.approx(whole)


@pytest.mark.parametrize("par", [0.25, 0.98, 0.1, 1.0, math.nan])
def test_a_par_off_the_curve_is_refused(par):
    with pytest.raises(OutOfRange) as caught:
        item_for(par, 0.25, MODEL)
    assert caught.value.key == "par_off_the_curve"
