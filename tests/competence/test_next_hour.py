"""What to practise next: what it tells and what it teaches, per minute, by need."""

from dataclasses import replace

import numpy as np
import pytest

from academy.catalog import competence, practice
from academy.competence import belief, next_hour
from academy.competence.belief import Scored
from academy.competence.item_curve import item_for
from academy.competence.memory import forget, learn
from academy.competence.next_hour import Candidate, Subject

MODEL = replace(
    competence.load(), learning_gain=0.05, learning_sd=0.15, untrained_level=-1.0
)
RULE = practice.load()
NEAR = Subject(belief.normal(-0.2, 0.4), 0, 335, wanted=True, importance=0.0)
SURE = replace(NEAR, grid=belief.normal(4.0, 0.3))
BLANK = replace(NEAR, grid=belief.prior(MODEL), tested=False)


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


def best(candidates, subjects):
    return next_hour.best_first(candidates, subjects, RULE, MODEL)


def test_the_worth_is_what_it_tells_and_teaches_per_minute_of_the_spell():
    (pick,) = best([Candidate("pace", {"pace": 1}, 4.0)], {"pace": NEAR})
    told, taught = next_hour.told_and_taught(NEAR, 1, RULE, MODEL)
    assert told >= 0
    assert taught > 0
    assert pick.worth == pytest.approx((told + taught) / (RULE.block * 4.0))


def test_need_by_hand():
    wanted = replace(NEAR, importance=0.25)
    assert next_hour.need(wanted, RULE) == pytest.approx(1.25)
    rule = replace(RULE, elsewhere=0.2)
    alone = replace(wanted, wanted=False, importance=1.0)
    assert next_hour.need(alone, rule) == pytest.approx(0.4)


def test_unknowns_are_tested_near_misses_trained_the_sure_left_alone():
    families = [Candidate(name, {name: 1}, 2.0) for name in ("blank", "near", "sure")]
    picks = best(families, {"blank": BLANK, "near": NEAR, "sure": SURE})
    assert picks[-1].family == "sure"
    assert picks[-1].worth < 0.01 * picks[0].worth
    reasons = {pick.family: pick.reason for pick in picks}
    assert reasons["near"] == "gain"
    assert reasons["blank"] == "untested"


def test_what_answers_tell_is_the_reason_where_practice_no_longer_teaches():
    still = replace(MODEL, learning_gain=0.0, learning_sd=1e-6)
    wide = replace(NEAR, grid=belief.normal(0.0, 1.5))
    (pick,) = next_hour.best_first(
        [Candidate("a", {"reel": 2}, 4.0)], {"reel": wide}, RULE, still
    )
    assert pick.reason == "information"
    assert pick.worth > 0


def test_quicker_families_and_needed_topics_come_first():
    families = [Candidate("slow", {"reel": 1}, 8.0), Candidate("quick", {"reel": 1}, 2)]
    assert best(families, {"reel": NEAR})[0].family == "quick"
    families = [Candidate("a", {"reel": 1}, 2.0), Candidate("b", {"knife": 1}, 2.0)]
    idle = replace(NEAR, wanted=False)
    assert best(families, {"reel": idle, "knife": NEAR})[0].family == "b"
    hangs = replace(NEAR, importance=0.5)
    assert best(families, {"reel": NEAR, "knife": hangs})[0].family == "b"


def test_of_equals_the_one_had_least_comes_first_then_by_name():
    families = [
        Candidate("b", {"reel": 1}, 2.0, had=1),
        Candidate("c", {"reel": 1}, 2.0),
        Candidate("a", {"reel": 1}, 2.0, had=1),
    ]
    assert [p.family for p in best(families, {"reel": NEAR})] == ["c", "a", "b"]


def test_topics_nobody_stands_in_are_never_picked():
    assert best([Candidate("a", {"unknown": 1}, 2.0)], {"reel": NEAR}) == ()


def test_what_fades_before_harvest_counts_less():
    far = replace(NEAR, idle_days=300)
    soon = next_hour.told_and_taught(NEAR, 1, RULE, MODEL)[1]
    assert 0 < next_hour.told_and_taught(far, 1, RULE, MODEL)[1] < soon


def answered(subject, score, days):
    item = item_for(RULE.usual_par, 0.0, MODEL)
    grid = belief.update(subject.grid, [Scored(item, score, MODEL.practice_weight)])
    learnt = forget(learn(grid, 1.0, MODEL), days, subject.half_life, MODEL)
    return replace(subject, grid=learnt, tested=True)


def test_no_family_comes_twice_in_a_row_over_200_picks():
    dice = np.random.default_rng(7)
    subjects = dict.fromkeys(("safe", "reel", "pace"), BLANK)
    families = [
        Candidate("stop", {"safe": 1}, 2.0),
        Candidate("set", {"reel": 1, "pace": 1}, 5.0),
        Candidate("speed", {"pace": 1}, 4.0),
    ]
    seen = []
    for _ in range(200):
        pick = next_hour.next_pick(best(families, subjects), seen[::-1], RULE.apart)
        assert pick is not None
        assert [pick.family] != seen[-1:]
        last = pick.family
        seen.append(last)
        for topic in next(f.parts for f in families if f.family == last):
            subjects[topic] = answered(subjects[topic], float(dice.random() < 0.7), 1)
    assert set(seen) == {"stop", "set", "speed"}


def test_a_lone_family_is_not_repeated_either():
    picks = best([Candidate("only", {"reel": 1}, 2.0)], {"reel": NEAR})
    assert next_hour.next_pick(picks, [], 3) == picks[0]
    assert next_hour.next_pick(picks, ["only"], 3) is None
    assert next_hour.next_pick([], [], 3) is None


def test_a_few_others_come_before_a_family_comes_again():
    picks = best([Candidate(k, {"reel": 1}, 2.0) for k in "abcde"], {"reel": NEAR})
    assert next_hour.next_pick(picks, ["a"], 3).family == "b"
    assert next_hour.next_pick(picks, ["b", "a", "c", "d"], 3).family == "d"
    assert next_hour.next_pick(picks[:3], ["b", "a", "c"], 3).family == "c"
