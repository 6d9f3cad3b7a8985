"""The belief against formulas evaluated cell by cell with the standard library."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from academy.catalog import competence
from academy.competence import belief, memory
from academy.competence.belief import Scored
from academy.competence.item_curve import Item, item_for
from academy.errors import OutOfRange

MODEL = competence.load()
HALF = Item(floor=0.0, ceiling=1.0, difficulty=0.0)
CHOICE = Item(floor=0.25, ceiling=0.98, difficulty=-0.6, kappa=0.95)
SAME = 1e-12


def below(level: float, mean: float, sd: float) -> float:
    """The normal distribution function, by the standard library's erf."""
    return 0.5 * (1 + math.erf((level - mean) / (sd * math.sqrt(2))))


def cell_edges(cell: int) -> tuple[float, float]:
    """Edges of a cell by the rule in words; the outermost hold what lies beyond."""
    low = -math.inf if cell == 0 else -5 + cell / 8
    high = math.inf if cell == 79 else -5 + (cell + 1) / 8
    return low, high


def normal_cells(mean: float, sd: float) -> list[float]:
    edges = [cell_edges(cell) for cell in range(80)]
    return [below(high, mean, sd) - below(low, mean, sd) for low, high in edges]


def centre(cell: int) -> float:
    return -5 + (cell + 0.5) / 8


def test_the_untested_have_a_chance_of_one_in_four():
    # N(-1, 1.5): the chance above 0 is 1 - Phi(2/3); tables of Phi give 0.2525
    assert belief.chance(belief.prior(MODEL)) == pytest.approx(0.2525, abs=5e-5)


def test_the_prior_is_the_normal_law_cell_by_cell():
    grid = belief.normal(-1.0, 1.5)
    assert grid == pytest.approx(normal_cells(-1.0, 1.5), abs=SAME)
    assert grid.sum() == pytest.approx(1.0, abs=SAME)


def test_an_update_is_bayes_rule_cell_by_cell():
    before = normal_cells(-1.0, 1.5)
    score, weight = 0.7, 0.6
    products = []
    for cell, mass in enumerate(before):
        rise = 1 / (1 + math.exp(-0.95 * (centre(cell) + 0.6)))
        p = 0.25 + 0.73 * rise
        products.append(mass * (p**score * (1 - p) ** (1 - score)) ** weight)
    wanted = [product / sum(products) for product in products]
    got = belief.update(belief.normal(-1.0, 1.5), [Scored(CHOICE, score, weight)])
    assert got == pytest.approx(wanted, abs=SAME)


def test_forgetting_moves_every_cell_as_its_formula_says():
    before = normal_cells(0.8, 0.5)
    kept = 2 ** (-120 / 335)
    spread = 0.9 * math.sqrt(1 - kept**2)
    model = replace(MODEL, untrained_level=-1.0, settled_sd=0.9)
    wanted = [0.0] * 80
    for cell, mass in enumerate(before):
        level = centre(cell)
        mean = -1 + kept * (level + 1) if level > -1 else level
        for to, moved in enumerate(normal_cells(mean, spread)):
            wanted[to] += mass * moved
    got = memory.forget(belief.normal(0.8, 0.5), 120, 335, model)
    assert got == pytest.approx(wanted, abs=SAME)


def test_practice_lifts_every_cell_as_its_formula_says():
    before = normal_cells(0.0, 0.5)
    model = replace(MODEL, learning_gain=0.05, learning_sd=0.15)
    wanted = [0.0] * 80
    for cell, mass in enumerate(before):
        lifted = normal_cells(centre(cell) + 0.05 * 2.0, 0.15 * math.sqrt(2.0))
        for to, moved in enumerate(lifted):
            wanted[to] += mass * moved
    got = memory.learn(belief.normal(0.0, 0.5), 2.0, model)
    assert got == pytest.approx(wanted, abs=SAME)


def test_the_same_answers_leave_the_same_bits():
    answers = [Scored(CHOICE, 0.3, 0.5), Scored(HALF, 0.9, 1.0)]
    once = belief.update(belief.prior(MODEL), answers)
    again = belief.update(belief.prior(MODEL), answers)
    forgotten = memory.forget(once, 77, 335, MODEL)
    memory._forgetting.cache_clear()
    assert belief.pack(once) == belief.pack(again)
    assert belief.pack(forgotten) == belief.pack(memory.forget(again, 77, 335, MODEL))


def test_packed_numbers_come_back_and_fill_640_bytes():
    grid = belief.prior(MODEL)
    assert len(belief.pack(grid)) == 80 * 8
    assert (belief.unpack(belief.pack(grid)) == grid).all()


@given(st.lists(st.floats(0, 1), min_size=2, max_size=6), st.randoms())
def test_the_order_of_answers_of_one_hour_does_not_matter(scores, random):
    answers = [Scored(CHOICE, score, 1.0) for score in scores]
    shuffled = random.sample(answers, len(answers))
    one = belief.update(belief.prior(MODEL), answers)
    other = belief.update(belief.prior(MODEL), shuffled)
    assert one == pytest.approx(other, abs=SAME)


@given(st.floats(0, 0.9), st.floats(0.01, 0.1), st.floats(0.05, 3))
def test_a_better_score_never_lowers_the_chance(score, more, weight):
    item = item_for(0.7, 0.25, MODEL)
    grid = belief.prior(MODEL)
    worse = belief.update(grid, [Scored(item, score, weight)])
    better = belief.update(grid, [Scored(item, score + more, weight)])
    assert belief.chance(better) > belief.chance(worse)


@given(st.floats(0.3, 0.9), st.floats(0, 1))
def test_the_chance_from_a_set_of_answers_is_fair(par, weight):
    """Law of total probability: with whole scores of weight 1, beliefs average back."""
    item = item_for(par, 0.0, MODEL)
    grid = belief.normal(weight - 0.5, 0.8)
    expected = (grid * belief.expected_score(belief.CENTRES, item)).sum()
    right = belief.chance(belief.update(grid, [Scored(item, 1.0, 1.0)]))
    wrong = belief.chance(belief.update(grid, [Scored(item, 0.0, 1.0)]))
    back = expected * right + (1 - expected) * wrong
    assert back == pytest.approx(belief.chance(grid), abs=SAME)


def test_answers_of_no_weight_and_no_answers_change_nothing():
    grid = belief.normal(0.3, 0.7)
    assert belief.update(grid, []) == pytest.approx(grid, abs=SAME)
    assert belief.update(grid, [Scored(HALF, 1, 0)]) == pytest.approx(grid, abs=SAME)


def test_a_narrow_normal_belief_summarises_to_itself():
    """Mean, spread, interval of N(0.5, 1): ±1.6449 sd hold 90 % (tables of Phi).

    Cells of h = 1/8 add h²/12 = 0.0013 to the variance and bend the interval by less
    than a tenth of a cell.
    """
    read = belief.summary(belief.normal(0.5, 1.0), replace(MODEL, interval_share=0.9))
    assert read.eap == pytest.approx(0.5, abs=1e-4)  # the tail beyond 5 is 3e-6
    assert read.sd == pytest.approx(math.sqrt(1 + 0.125**2 / 12), abs=1e-4)
    assert read.low == pytest.approx(0.5 - 1.6449, abs=0.0125)
    assert read.high == pytest.approx(0.5 + 1.6449, abs=0.0125)
    assert read.chance == pytest.approx(below(0.5, 0, 1), abs=1e-12)


def test_the_quantile_is_linear_inside_a_cell():
    one_cell = np.zeros(80)
    one_cell[40] = 1.0  # the cell from 0 to 0.125
    assert belief.quantile(one_cell, 0.25) == pytest.approx(0.125 / 4)


@pytest.mark.parametrize("score", [-0.01, 1.01, math.nan])
def test_a_score_that_is_no_share_is_refused(score):
    with pytest.raises(OutOfRange):
        belief.update(belief.prior(MODEL), [Scored(HALF, score, 1.0)])


@pytest.mark.parametrize("weight", [-1.0, math.nan])
def test_a_negative_weight_is_refused(weight):
    with pytest.raises(OutOfRange):
        belief.update(belief.prior(MODEL), [Scored(HALF, 1.0, weight)])
