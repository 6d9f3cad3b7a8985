"""Disuse and practice: half-lives, limits, and two gaps that equal one."""

from dataclasses import replace

import numpy as np
import pytest

from academy.catalog import competence
from academy.competence import belief, memory
from academy.errors import OutOfRange

MODEL = competence.load()
PLAIN = replace(MODEL, untrained_level=-1.0, settled_sd=0.9)


def mean(grid) -> float:
    return belief.summary(grid, MODEL).eap


@pytest.mark.parametrize("half_life", [200, 335, 395])
def test_half_of_the_gain_is_gone_after_a_half_life(half_life):
    """From 1.5 to 0.25, half-way down to the untrained level of -1."""
    trained = belief.normal(1.5, 0.4)  # six spreads above that level: all of it moves
    after = memory.forget(trained, half_life, half_life, PLAIN)
    # the grid's tails and cells move the mean by less than a thousandth
    assert mean(after) == pytest.approx(0.25, abs=1e-3)


def test_two_gaps_are_one_long_gap():
    """Ornstein-Uhlenbeck: 100 + 80 days are 180, within 4e-4 of the chances below."""
    start = belief.normal(1.0, 0.6)
    twice = memory.forget(memory.forget(start, 100, 335, PLAIN), 80, 335, PLAIN)
    once = memory.forget(start, 180, 335, PLAIN)
    assert np.cumsum(twice) == pytest.approx(np.cumsum(once), abs=4e-4)


def test_doubt_grows_to_that_of_long_disuse():
    certain = belief.normal(2.0, 0.2)
    after = memory.forget(certain, 20 * 335, 335, PLAIN)
    read = belief.summary(after, MODEL)
    assert read.eap == pytest.approx(-1.0, abs=1e-3)
    # settled spread 0.9, widened by the cells: sqrt(0.81 + 0.125**2 / 12) = 0.9007
    assert read.sd == pytest.approx(0.9007, abs=1e-3)


def test_the_chance_of_a_trained_person_falls_day_by_day():
    start = belief.normal(1.2, 0.5)
    chances = [
        belief.chance(memory.forget(start, days, 335, MODEL))
        for days in range(0, 400, 7)
    ]
    assert (np.diff(chances) < 0).all()


def test_nobody_below_the_untrained_level_is_lifted_by_disuse():
    weak = belief.normal(-3.0, 0.3)
    assert mean(memory.forget(weak, 300, 335, PLAIN)) == pytest.approx(-3.0, abs=1e-2)


def test_no_day_forgets_nothing_and_no_practice_teaches_nothing():
    grid = belief.normal(0.4, 0.6)
    assert memory.forget(grid, 0, 335, MODEL) is grid
    assert memory.learn(grid, 0.0, MODEL) is grid


def test_practice_lifts_the_mean_by_its_gain():
    grid = belief.normal(0.0, 0.6)
    model = replace(MODEL, learning_gain=0.05, learning_sd=0.15)
    assert mean(memory.learn(grid, 2.0, model)) == pytest.approx(0.1, abs=1e-3)


@pytest.mark.parametrize("days", [1, 30, 400])
def test_chances_still_add_up_to_one(days):
    grid = memory.forget(belief.normal(4.0, 1.0), days, 200, MODEL)
    assert grid.sum() == pytest.approx(1.0, abs=1e-12)
    assert (grid >= 0).all()


def test_days_before_today_are_refused():
    with pytest.raises(OutOfRange):
        memory.forget(belief.prior(MODEL), -1, 335, MODEL)
