"""Regret marking: the share of the avoidable loss that was recovered."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from academy.errors import OutOfRange
from academy.grading.settings import mark_settings, regret_score

AS_FOUND, UNKNOWABLE = 20.0, 2.0


@pytest.mark.parametrize(
    ("regret", "score"),
    [
        (-1.0, 1.0),  # better than the key: nobody is paid twice
        (0.0, 1.0),
        (2.0, 1.0),  # r1
        (11.0, 0.5),  # the middle of 2 and 20
        (5.0, 15 / 18),  # 0.83, the worked case of the marking rule
        (20.0, 0.0),  # r0
        (90.0, 0.0),
    ],
)
def test_full_at_r1_nothing_at_r0_and_straight_between(regret, score):
    assert regret_score(regret, AS_FOUND, UNKNOWABLE) == pytest.approx(score)


@given(st.floats(0, 50), st.floats(0, 50))
def test_more_regret_never_scores_more(one, other):
    less, more = sorted((one, other))
    scores = [regret_score(x, AS_FOUND, UNKNOWABLE) for x in (less, more)]
    assert scores[0] >= scores[1]


@given(st.floats(0, 30), st.floats(0.01, 100))
def test_the_score_does_not_depend_on_the_money(regret, times):
    scaled = regret_score(regret * times, AS_FOUND * times, UNKNOWABLE * times)
    assert scaled == pytest.approx(regret_score(regret, AS_FOUND, UNKNOWABLE))


@pytest.mark.parametrize(("r0", "r1"), [(2.0, 2.0), (1.0, 2.0), (2.0, -0.1)])
def test_regrets_out_of_order_are_refused(r0, r1):
    with pytest.raises(OutOfRange, match="regrets_out_of_order"):
        regret_score(1.0, r0, r1)


@pytest.mark.parametrize(
    ("regret", "reason"), [(1.0, "full"), (11.0, "partly"), (21.0, "worse_than_found")]
)
def test_a_mark_says_why(regret, reason):
    assert mark_settings(regret, AS_FOUND, UNKNOWABLE, []).reason == reason


def test_the_recovered_share_may_be_below_nothing_but_not_the_score():
    mark = mark_settings(29.0, AS_FOUND, UNKNOWABLE, [])
    assert mark.score == 0
    assert mark.detail["recovered"] == pytest.approx(-0.5)  # (20 - 29) / 18


def test_a_broken_limit_scores_nothing_however_cheap():
    mark = mark_settings(0.0, AS_FOUND, UNKNOWABLE, ["plug_up"])
    assert (mark.score, mark.reason) == (0.0, "limit_broken")
    assert mark.detail["violations"] == ["plug_up"]
