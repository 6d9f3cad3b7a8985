"""The crew's best hour: near the line, where the cover hangs on the person."""

import math
from dataclasses import replace
from itertools import product

import pytest

from academy.catalog import competence
from academy.competence import belief, crew_hour, readiness
from academy.competence.crew_hour import CrewTopic, Option
from academy.competence.memory import forget, learn

MODEL = replace(
    competence.load(), learning_gain=0.05, learning_sd=0.15, untrained_level=-1.0
)
SOME = Option("ana", "reel", gain=0.1, importance=0.5, cover=0.8, minutes=20)


def test_worth_by_hand():
    # ln(1 + 0.5 * 0.1 / 0.8) / 20 = ln(1.0625) / 20 = 0.0606246 / 20
    assert crew_hour.worth(SOME) == pytest.approx(0.00303123, abs=1e-8)


def test_worth_is_the_growth_of_the_cover_it_promises():
    chances = [0.5, 0.7, 0.6]
    cover = readiness.chance_at_least(chances, 2)
    importance = float(readiness.importance(chances, 2)[0])
    better = readiness.chance_at_least([0.62, 0.7, 0.6], 2)
    option = Option("ana", "reel", 0.12, importance, cover, minutes=1.0)
    assert crew_hour.worth(option) == pytest.approx(math.log(better / cover))


def test_no_gain_is_worth_nothing_and_a_first_cover_everything():
    assert crew_hour.worth(replace(SOME, gain=-0.1)) == 0.0
    assert crew_hour.worth(replace(SOME, importance=0.0, cover=0.0)) == 0.0
    assert crew_hour.worth(replace(SOME, cover=0.0)) == math.inf


def test_the_best_comes_first_and_ties_keep_one_order():
    twin = replace(SOME, person_id="bo")
    short = replace(SOME, person_id="zoe", minutes=10)
    thin = replace(SOME, person_id="eva", cover=0.2)
    order = crew_hour.best_first([twin, SOME, short, thin])
    assert [each.person_id for each in order] == ["eva", "zoe", "ana", "bo"]


TINY = (
    CrewTopic(
        "reel",
        {"ana": belief.normal(-0.6, 0.7), "bo": belief.normal(0.9, 0.5)},
        needed=1,
        half_life=335,
        weight=5.0,
        minutes=20,
    ),
    CrewTopic(
        "knife",
        {"ana": belief.normal(0.1, 0.6), "bo": belief.normal(-0.4, 0.8)},
        needed=2,
        half_life=200,
        weight=5.0,
        minutes=20,
    ),
)


def log_cover(spells, idle_days=10):
    """Sum of the logarithms of the covers once these spells were practised."""
    total = 0.0
    for topic in TINY:
        chances = []
        for person_id, start in topic.grids.items():
            grid = start
            for _ in range(spells.count((person_id, topic.key))):
                grid = learn(grid, topic.weight, MODEL)
            later = forget(grid, idle_days, topic.half_life, MODEL)
            chances.append(belief.chance(later))
        total += math.log(readiness.chance_at_least(chances, topic.needed))
    return total


def test_greedy_equals_exhaustive_on_a_tiny_case():
    every = [(person, topic.key) for topic in TINY for person in topic.grids]
    best = max(log_cover(spells) for spells in product(every, repeat=3))
    taken = crew_hour.plan(TINY, 10, 60, MODEL)
    spells = tuple((one.person_id, one.topic) for one in taken)
    assert len(spells) == 3
    assert log_cover(spells) == pytest.approx(best, abs=1e-12)
    assert best > log_cover(()) + 0.05


def test_a_plan_keeps_to_its_minutes_and_leaves_useless_spells_out():
    assert len(crew_hour.plan(TINY, 10, 59, MODEL)) == 2
    assert crew_hour.plan(TINY, 10, 19, MODEL) == ()
    still = replace(MODEL, learning_gain=0.0, learning_sd=1e-6)
    assert crew_hour.plan(TINY, 10, 60, still) == ()
