"""The best next practice: near the line, where the cover hangs on the person."""

import math
from dataclasses import replace

import pytest

from academy.catalog import competence
from academy.competence import belief, next_hour, readiness
from academy.competence.next_hour import Option

MODEL = replace(
    competence.load(), learning_gain=0.05, learning_sd=0.15, untrained_level=-1.0
)
SOME = Option("ana", "reel", gain=0.1, importance=0.5, cover=0.8, minutes=20)


def test_practice_gains_most_near_the_line():
    gains = {
        level: next_hour.gain(belief.normal(level, 0.4), 4.0, 0, 335, MODEL)
        for level in (-3.0, 0.0, 3.0)
    }
    assert gains[0.0] > 10 * abs(gains[-3.0])
    assert gains[0.0] > 10 * abs(gains[3.0])


def test_a_gain_by_hand():
    """N(-0.2, 0.4) becomes N(-0.2 + 0.05 * 4, sqrt(0.16 + 0.09)) = N(0, 0.5).

    The chance rises from 1 - Phi(0.5) = 0.3085 to 0.5; the cells allow 0.002.
    """
    got = next_hour.gain(belief.normal(-0.2, 0.4), 4.0, 0, 335, MODEL)
    assert got == pytest.approx(0.5 - 0.3085, abs=0.002)


def test_what_is_learnt_long_before_harvest_fades():
    grid = belief.normal(0.2, 0.4)
    soon = next_hour.gain(grid, 4.0, 10, 335, MODEL)
    late = next_hour.gain(grid, 4.0, 300, 335, MODEL)
    assert 0 < late < soon


def test_worth_by_hand():
    # ln(1 + 0.5 * 0.1 / 0.8) / 20 = ln(1.0625) / 20 = 0.0606246 / 20
    assert next_hour.worth(SOME) == pytest.approx(0.00303123, abs=1e-8)


def test_worth_is_the_growth_of_the_cover_it_promises():
    chances = [0.5, 0.7, 0.6]
    cover = readiness.chance_at_least(chances, 2)
    importance = float(readiness.importance(chances, 2)[0])
    better = readiness.chance_at_least([0.62, 0.7, 0.6], 2)
    option = Option("ana", "reel", 0.12, importance, cover, minutes=1.0)
    assert next_hour.worth(option) == pytest.approx(math.log(better / cover))


def test_no_gain_is_worth_nothing_and_a_first_cover_everything():
    assert next_hour.worth(replace(SOME, gain=-0.1)) == 0.0
    assert next_hour.worth(replace(SOME, importance=0.0, cover=0.0)) == 0.0
    assert next_hour.worth(replace(SOME, cover=0.0)) == math.inf


def test_the_best_comes_first_and_ties_keep_one_order():
    twin = replace(SOME, person_id="bo")
    short = replace(SOME, person_id="zoe", minutes=10)
    thin = replace(SOME, person_id="eva", cover=0.2)
    order = next_hour.best_first([twin, SOME, short, thin])
    assert [each.person_id for each in order] == ["eva", "zoe", "ana", "bo"]
