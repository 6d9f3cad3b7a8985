"""What answers are worth: worked by hand on two levels, and laws."""

import math

import numpy as np
import pytest

from academy.catalog import competence, practice
from academy.competence import belief
from academy.competence.belief import CELLS, CENTRES
from academy.competence.information import information, loss
from academy.competence.item_curve import Item, item_for

HIGH = 56  # cell centred at 2.0625; its mirror image is cell 23
FAR = float(CENTRES[HIGH])
# scored 0.8 from the upper level and 0.2 from the lower: ln(0.8 / 0.2) = ln 4
ITEM = Item(0.0, 1.0, 0.0, math.log(4) / FAR)
USUAL = item_for(0.65, 0.0, competence.load())


def two_levels(above: float) -> np.ndarray:
    grid = np.zeros(CELLS)
    grid[HIGH], grid[CELLS - 1 - HIGH] = above, 1 - above
    return grid


def test_the_loss_is_that_of_the_better_choice():
    # trust costs 4 * 0.1, distrust 0.9; trust costs 4 * 0.7, distrust 0.3
    assert loss(0.9, 0.1, 4) == pytest.approx(0.4)
    assert loss(0.3, 0.7, 4) == pytest.approx(0.3)


def test_one_answer_that_only_reaches_the_balance_is_worth_nothing():
    """Half and half: loss now min(4 * 0.5, 0.5) = 0.5.

    Right (0.5): above 0.8, loss min(4 * 0.2, 0.8) = 0.8. Wrong (0.5): above 0.2,
    loss 0.2. After: 0.5 * 0.8 + 0.5 * 0.2 = 0.5. Worth 0.
    """
    assert information(two_levels(0.5), 1, ITEM, 4) == pytest.approx(0, abs=1e-12)


def test_two_answers_by_hand():
    """Two right: 0.5 * (0.64 + 0.04) = 0.34, below 0.02, loss 4 * 0.02 = 0.08.

    One right: 0.32, half and half, loss 0.16. None: 0.34, above 0.02, loss 0.02.
    After: 0.26; worth 0.5 - 0.26 = 0.24.
    """
    assert information(two_levels(0.5), 2, ITEM, 4) == pytest.approx(0.24, abs=1e-12)


def test_equal_losses_by_hand():
    """Losses 1:1, one answer: now 0.5; right 0.5 * 0.2, wrong 0.5 * 0.2; worth 0.3."""
    assert information(two_levels(0.5), 1, ITEM, 1) == pytest.approx(0.3, abs=1e-12)


def test_many_answers_are_worth_no_more_than_knowing():
    # knowing for sure leaves no loss: at most what is expected now, 0.5
    values = [information(two_levels(0.5), n, ITEM, 4) for n in (2, 8, 32)]
    assert values == sorted(values)
    assert values[-1] == pytest.approx(0.5, abs=1e-3)


def test_no_answers_and_answers_that_tell_nothing_are_worth_nothing():
    assert information(two_levels(0.5), 0, ITEM, 4) == pytest.approx(0, abs=1e-12)
    deaf = Item(0.5, 0.5000001, 0.0, 1.0)
    assert information(two_levels(0.5), 8, deaf, 4) == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize("level", [-4.5, 4.5])
def test_a_sure_pass_and_a_sure_miss_have_no_value(level):
    assert information(belief.normal(level, 0.2), 8, USUAL, 4) < 1e-6


def test_the_value_falls_as_evidence_grows():
    grids = [belief.normal(0.0, sd) for sd in (1.5, 1.0, 0.6, 0.3, 0.1)]
    values = [information(grid, 8, USUAL, 4) for grid in grids]
    assert values == sorted(values, reverse=True)
    assert values[0] > 5 * values[-1]


def test_unknown_people_are_worth_testing_with_the_losses_of_content():
    rule, model = practice.load(), competence.load()
    value = information(belief.prior(model), 8, USUAL, rule.false_trust)
    now = belief.chance(belief.prior(model))
    assert 0.01 < value < now
