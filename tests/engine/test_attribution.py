"""Shares of a regret: they add up, favour nobody, and match what one works by hand."""

from dataclasses import replace

import numpy as np
import pytest

from academy.engine import search
from academy.engine.attribution import shapley, subset_masks
from academy.engine.header import run
from academy.errors import OutOfRange

GRADED = ("ground_speed", "reel_rate", "reel_height", "reel_lead", "cut_height")


def test_subsets_are_all_there_once():
    assert {tuple(row) for row in subset_masks(3).tolist()} == {
        (a, b, c) for a in (False, True) for b in (False, True) for c in (False, True)
    }


def test_a_sum_is_shared_by_its_own_terms(settings):
    # 3 × speed + 5 × lead: off by 1 and by 2 costs 3 and 10.
    trainee = replace(
        settings,
        ground_speed=settings.ground_speed + 1,
        reel_lead=settings.reel_lead + 2,
    )
    shares = shapley(
        lambda s: 3 * s.ground_speed + 5 * s.reel_lead,
        trainee,
        settings,
        ("ground_speed", "reel_lead"),
    )
    assert shares == pytest.approx({"ground_speed": 3.0, "reel_lead": 10.0})


def test_what_two_do_together_is_halved(settings):
    # A product that costs 8 only when both are wrong: 4 each.
    best = replace(settings, ground_speed=0.0, reel_lead=0.0)
    trainee = replace(settings, ground_speed=2.0, reel_lead=4.0)
    shares = shapley(
        lambda s: s.ground_speed * s.reel_lead,
        trainee,
        best,
        ("ground_speed", "reel_lead"),
    )
    assert shares == pytest.approx({"ground_speed": 4.0, "reel_lead": 4.0})


def test_three_with_one_pair_at_odds_by_hand(settings):
    # Cost 6 when all three are wrong, 0 otherwise: each is last in a third of the
    # orders, so 2 each.
    zero = dict.fromkeys(("ground_speed", "reel_lead", "cut_height"), 0.0)
    one = dict.fromkeys(zero, 1.0)
    shares = shapley(
        lambda s: 6 * s.ground_speed * s.reel_lead * s.cut_height,
        replace(settings, **one),
        replace(settings, **zero),
        tuple(zero),
    )
    assert shares == pytest.approx(dict.fromkeys(zero, 2.0))


def test_a_setting_that_costs_nothing_gets_nothing(settings):
    trainee = replace(settings, tine_pitch=0.4, ground_speed=2.0)
    shares = shapley(
        lambda s: np.square(s.ground_speed),
        trainee,
        settings,
        ("tine_pitch", "ground_speed"),
    )
    assert shares["tine_pitch"] == 0.0


def test_shares_of_a_real_regret_add_up_whatever_the_order(
    field, machine, settings, controls, soybean
):
    def cost(s):
        return run(field, machine, s, soybean.values).cost

    best = search.best(field, machine, settings, controls, soybean.values).settings
    trainee = replace(
        settings,
        ground_speed=2.3,
        reel_rate=5.5,
        reel_height=1.0,
        reel_lead=0.15,
        cut_height=0.1,
    )
    shares = shapley(cost, trainee, best, GRADED)
    assert sum(shares.values()) == pytest.approx(
        float(cost(trainee) - cost(best)), rel=1e-12
    )
    turned = shapley(cost, trainee, best, GRADED[::-1])
    assert turned == pytest.approx(shares, rel=1e-9)


def test_nothing_changed_shares_nothing(settings):
    assert shapley(lambda s: s.ground_speed, settings, settings, ()) == {}
    shares = shapley(lambda s: s.ground_speed, settings, settings, ("ground_speed",))
    assert shares == {"ground_speed": 0.0}


def test_too_many_settings_are_refused(settings):
    with pytest.raises(OutOfRange):
        shapley(lambda s: s.ground_speed, settings, settings, ("cut_height",) * 13)
