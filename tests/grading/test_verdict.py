"""May a set-up be asked? What the doubt in the coefficients allows."""

from dataclasses import replace

import numpy as np
import pytest

from academy.engine import ensemble, header, search
from academy.grading import verdict
from academy.grading.settings import regret_score
from academy.service.making import make

SEEDS = (1, 2, 3)
seeds = pytest.mark.parametrize("seed", SEEDS)
MONEY = ("best_cost", "found_cost", "r0", "r1", "found_low")


@seeds
def test_the_best_settings_score_full_and_the_machine_as_found_nothing(
    set_up, drawn, judged_once, seed
):
    judgements = ((sub, judged_once(set_up, seed, sub)) for sub in range(60))
    sub, judged = next(pair for pair in judgements if pair[1].accepted)
    problem = drawn(set_up, seed, sub)
    for settings, score in ((judged.best, 1.0), (problem.as_found, 0.0)):
        readings = header.run(problem.field, problem.machine, settings, problem.values)
        regret = float(readings.cost) - judged.best_cost
        assert regret_score(regret, judged.r0, judged.r1) == pytest.approx(score)


@seeds
def test_the_best_settings_break_no_limit_and_stand_on_a_step(
    set_up, drawn, judged_once, seed
):
    problem = drawn(set_up, seed)
    best = judged_once(set_up, seed).best
    readings = header.run(problem.field, problem.machine, best, problem.values)
    assert not any(bool(flag) for flag in readings.violations.values())
    for control in problem.controls:
        steps = (getattr(best, control.name) - control.low) / control.step
        assert steps == pytest.approx(round(steps), abs=1e-6)
        assert control.low - 1e-9 <= getattr(best, control.name) <= control.high + 1e-9


@seeds
def test_what_is_not_asked_stays_as_found(set_up, drawn, judged_once, seed):
    problem = drawn(set_up, seed)
    best = judged_once(set_up, seed).best
    asked = {c.name: getattr(problem.as_found, c.name) for c in problem.controls}
    assert replace(best, **asked) == problem.as_found


@seeds
def test_a_thousandth_of_the_crop_is_never_charged(set_up, drawn, judged_once, seed):
    problem = drawn(set_up, seed)
    crop = float(problem.field.crop_yield) * float(problem.field.grain_price)
    assert judged_once(set_up, seed).r1 >= 0.001 * crop


@seeds
def test_some_single_step_off_the_best_is_still_full(set_up, drawn, judged_once, seed):
    problem = drawn(set_up, seed)
    judged = judged_once(set_up, seed)
    losses = []
    for control in problem.controls:
        here = getattr(judged.best, control.name)
        for there in (here - control.step, here + control.step):
            if control.low - 1e-9 <= there <= control.high + 1e-9:
                moved = replace(judged.best, **{control.name: there})
                readings = header.run(
                    problem.field, problem.machine, moved, problem.values
                )
                if not any(bool(flag) for flag in readings.violations.values()):
                    losses.append(float(readings.cost) - judged.best_cost)
    assert min(losses) >= 0  # the best is the best among its neighbours
    assert min(losses) <= judged.r1
    assert regret_score(min(losses), judged.r0, judged.r1) == 1


@seeds
def test_a_set_up_is_asked_only_when_doubt_is_a_third_of_what_is_at_stake(
    set_up, judged_once, seed
):
    judged = [judged_once(set_up, seed, sub) for sub in range(2)]
    for one in judged:
        clear = one.found_low >= 3 * one.r1 and one.r0 > one.r1
        assert one.accepted == clear


def test_a_machine_found_at_its_best_is_nothing_to_ask(set_up, drawn, judged_once):
    problem = drawn(set_up, 1)
    best = judged_once(set_up, 1).best
    assert not verdict.judge(replace(problem, as_found=best)).accepted


def test_a_machine_found_beyond_a_limit_still_has_its_money_in_order(drawn):
    # fingers 50 mm from the raised bar is a rule; a low reel breaks it
    problem = drawn("standing-soybean", 1)
    low = next(c for c in problem.controls if c.name == "reel_height").low
    judged = verdict.judge(
        replace(problem, as_found=replace(problem.as_found, reel_height=low))
    )
    assert judged.found_cost - judged.best_cost == pytest.approx(judged.r0)


def test_without_doubt_only_the_floor_and_a_step_are_left(set_up, drawn, judged_once):
    problem = drawn(set_up, 2)
    sure = replace(problem, low=problem.values, high=problem.values)
    judged = verdict.judge(sure)
    crop = float(problem.field.crop_yield) * float(problem.field.grain_price)
    step = verdict.one_step_loss(sure, judged.best, judged.best_cost)
    assert judged.r1 <= judged_once(set_up, 2).r1
    assert judged.r1 == pytest.approx(max(0.001 * crop, step), abs=1e-6 * crop)
    # nothing is uncertain: every draw says the same of the machine as found; against
    # the best of the candidates, which may lie a hair below what the search found
    assert judged.found_low >= judged.r0 * (1 - 1e-9)
    assert judged.found_low == pytest.approx(judged.r0, abs=1e-4 * crop)


def test_the_same_set_up_is_judged_the_same(set_up, drawn, judged_once):
    assert verdict.judge(drawn(set_up, 3)) == judged_once(set_up, 3)
    assert make(set_up, 3) == make(set_up, 3)


def test_dearer_money_changes_nothing_but_the_money(drawn):
    # twice the price of everything: same best settings, twice every sum
    problem = drawn("dry-afternoon", 1)
    dear = replace(
        problem,
        field=replace(problem.field, grain_price=2 * problem.field.grain_price),
        machine=replace(problem.machine, hour_cost=2 * problem.machine.hour_cost),
        values=_soil(problem.values),
        low=_soil(problem.low),
        high=_soil(problem.high),
    )
    one, two = verdict.judge(problem), verdict.judge(dear)
    assert one.best == two.best
    for name in MONEY:
        assert getattr(two, name) == pytest.approx(2 * getattr(one, name), rel=1e-9)


def _soil(values):
    return replace(values, digging_cost=2 * values.digging_cost)


@pytest.mark.long
def test_the_shared_candidates_cost_hardly_more_than_a_search_for_every_draw(drawn):
    """The bias: least cost over the shared set, less that of a search for the draw.

    Stated over 52 set-ups and six draws each, as shares of r1: it should stay below a
    tenth on the mean and in nine of ten, so that no verdict rests on it.
    """
    shares = []
    for key in ("standing-soybean", "lodged-soybean", "rough-ground", "dry-afternoon"):
        for seed in range(13):
            shares += _biases(drawn(key, seed))
    assert min(shares) > -0.05  # the set holds points between the steps, too
    assert np.mean(shares) < 0.1
    assert np.quantile(shares, 0.9) < 0.1


def _biases(problem) -> list[float]:
    found = search.best(
        problem.field,
        problem.machine,
        problem.as_found,
        problem.controls,
        problem.values,
    )
    points = verdict.candidates(problem, found)
    settings = verdict.settings_at(problem.as_found, problem.controls, points)
    draws = ensemble.draw(
        problem.low,
        problem.values,
        problem.high,
        size=verdict.DRAWS,
        seed=verdict.DRAW_SEED,
    )
    costs = verdict.cost_of(problem, settings, ensemble.column(draws))
    least = costs.min(axis=1)
    r1 = verdict.judge(problem).r1
    shares = []
    for place in range(0, verdict.DRAWS, 51):
        sure = ensemble.one(draws, place)
        alone = search.best(
            problem.field, problem.machine, problem.as_found, problem.controls, sure
        )
        shares.append((float(least[place]) - alone.cost) / r1)
    return shares
