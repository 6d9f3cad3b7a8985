"""Ticking: hits less false ticks, the floor of a coin, and a critical one left out."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from academy.grading.ticking import chance_floor, mark_ticks, ticking_score

counts = st.integers(1, 6)


# To tick and to leave, and what a coin earns, as printed in the project's notes on
# assessment (section 4.4, "exact floors under coin-flip guessing").
@pytest.mark.parametrize(
    ("wanted", "unwanted", "printed", "digit"),
    [
        (1, 3, 0.25, 0.005),
        (2, 2, 0.1875, 0.00005),
        (2, 3, 0.1875, 0.00005),
        (3, 3, 0.156, 0.0005),
        (2, 4, 0.172, 0.0005),
    ],
)
def test_floors_as_printed(wanted, unwanted, printed, digit):
    assert chance_floor(wanted, unwanted) == pytest.approx(printed, abs=digit)


def test_the_floor_of_one_and_one_by_hand():
    # four ways to tick: neither 0, the right one 1, the wrong one 0, both 1 - 1 = 0
    assert chance_floor(1, 1) == pytest.approx(1 / 4)


@given(counts, counts)
def test_the_floor_does_not_depend_on_which_side_is_wanted(wanted, unwanted):
    # a fair coin: hits/w - false/u is as likely as its opposite, false/u - hits/w
    assert chance_floor(wanted, unwanted) == pytest.approx(
        chance_floor(unwanted, wanted)
    )


@given(counts, counts)
def test_the_floor_lies_between_nothing_and_a_half(wanted, unwanted):
    assert 0 < chance_floor(wanted, unwanted) < 0.5


@given(st.data(), counts, counts)
def test_a_further_hit_never_costs_and_a_further_false_tick_never_pays(
    data, wanted, unwanted
):
    hits = data.draw(st.integers(0, wanted - 1))
    false = data.draw(st.integers(0, unwanted - 1))
    score = ticking_score(hits, wanted, false, unwanted)
    assert 0 <= score <= 1
    assert ticking_score(hits + 1, wanted, false, unwanted) >= score
    assert ticking_score(hits, wanted, false + 1, unwanted) <= score


@given(counts, counts)
def test_all_right_is_one_and_nothing_or_everything_ticked_is_nought(wanted, unwanted):
    assert ticking_score(wanted, wanted, 0, unwanted) == 1
    assert ticking_score(0, wanted, 0, unwanted) == 0
    assert ticking_score(wanted, wanted, unwanted, unwanted) == 0


@given(st.sets(st.sampled_from("abcdef")))
def test_a_mark_is_full_for_exactly_what_was_wanted(ticked):
    mark = mark_ticks(ticked, "abc", "def", "")
    assert (mark.score == 1) == (ticked == set("abc"))
    assert (mark.reason == "full") == (ticked == set("abc"))
    assert not mark.critical_miss


@given(st.sets(st.sampled_from("abcdef")))
def test_a_critical_one_left_out_scores_nothing(ticked):
    mark = mark_ticks(ticked, "abc", "def", "a")
    assert mark.critical_miss == ("a" not in ticked)
    if mark.critical_miss:
        assert (mark.score, mark.reason) == (0, "critical_finding")


def test_a_mark_by_hand():
    # two of three found, one of four ticked for nothing: 2/3 - 1/4 = 5/12 = 0.4167
    mark = mark_ticks("abd", "abc", "defg", "")
    assert mark.score == 0.4167
    assert mark.detail == {"missed": ["c"], "false": ["d"]}
