"""A question with options is asked only when its key stands against the doubt."""

from dataclasses import replace

import numpy as np
import pytest

from academy.engine import ensemble
from academy.grading import options, verdict

MPH = 0.44704


@pytest.fixture
def problem(drawn):
    return drawn("dry-afternoon", 2)


def judged(problem, *settings):
    draws = verdict.draws_of(problem)
    pairs = [(problem.machine, each) for each in settings]
    return options.judge_options(problem.field, pairs, problem.values, draws)


def test_the_key_is_the_least_costly(problem):
    slow = replace(problem.as_found, reel_rate=0.75 * problem.as_found.reel_rate)
    verdict_ = judged(problem, problem.as_found, slow)
    assert verdict_.key == int(np.argmin(verdict_.costs))


def test_two_alike_options_are_never_asked(problem):
    # No margin between a thing and itself.
    verdict_ = judged(problem, problem.as_found, problem.as_found)
    assert verdict_.margin == 0
    assert not verdict_.accepted


def test_the_margin_is_the_twentieth_worst_of_the_draws(problem):
    slow = replace(problem.as_found, ground_speed=3.0 * MPH)
    found, other = (
        verdict.cost_of(problem, each, verdict.draws_of(problem)).ravel()
        for each in (problem.as_found, slow)
    )
    verdict_ = judged(problem, problem.as_found, slow)
    sign = 1 if verdict_.key == 1 else -1
    by_hand = np.sort(sign * (found - other))[int(0.05 * len(found))]
    assert verdict_.margin == pytest.approx(by_hand)
    assert verdict_.flips == int(np.count_nonzero(sign * (found - other) < 0))


def test_a_broken_limit_is_never_the_key(problem):
    # Tines into the raised bar: cheapest or not, it may not be run.
    low = replace(problem.as_found, reel_height=0.5)
    verdict_ = judged(problem, low, problem.as_found)
    assert verdict_.costs[0] == np.inf
    assert verdict_.key == 1


def test_without_doubt_nothing_flips(problem):
    sure = ensemble.column(
        ensemble.draw(problem.values, problem.values, problem.values, 8, 1)
    )
    slow = replace(problem.as_found, reel_rate=0.75 * problem.as_found.reel_rate)
    pairs = [(problem.machine, each) for each in (problem.as_found, slow)]
    assert options.judge_options(problem.field, pairs, problem.values, sure).flips == 0
