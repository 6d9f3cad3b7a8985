"""The verdict: Wald's limits, the course to the last scenario, and retakes."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from academy.catalog import assessment, competence
from academy.competence import decision
from academy.competence.belief import Scored
from academy.competence.item_curve import Item, item_for
from academy.errors import OutOfRange

BAR = assessment.bar()
ITEM = item_for(0.65, 0.0, competence.load())


def bernoulli(low: float, high: float):
    """An item scored right with chance ``low`` one logit below, ``high`` above."""
    odds = [math.log(p / (1 - p)) for p in (low, high)]
    steep = (odds[1] - odds[0]) / 2
    item = Item(0.0, 1.0, -(odds[0] + odds[1]) / 2 / steep, steep)
    return item, replace(BAR, clearly=1.0)


@pytest.mark.parametrize(
    ("alpha", "beta", "passes", "fails"),
    [
        (0.05, 0.05, 2.944439, -2.944439),
        (0.05, 0.10, 2.890372, -2.251292),
        (0.02, 0.10, 3.806662, -2.282382),
    ],
)
def test_limits_are_walds(alpha, beta, passes, fails):
    """Wald, Annals of Mathematical Statistics 16 (1945): ln((1-b)/a), ln(b/(1-a))."""
    bar = replace(BAR, false_pass=alpha, false_fail=beta)
    assert decision.pass_limit(bar) == pytest.approx(passes, abs=1e-6)
    assert decision.fail_limit(bar) == pytest.approx(fails, abs=1e-6)


def test_what_one_right_and_one_wrong_answer_weigh():
    """0.80 against 0.98: ln(0.98/0.80) = 0.202941, ln(0.02/0.20) = -2.302585."""
    item, bar = bernoulli(0.80, 0.98)
    right = decision.evidence([Scored(item, 1.0, 1.0)], bar)
    wrong = decision.evidence([Scored(item, 0.0, 1.0)], bar)
    assert right == pytest.approx(0.202941, abs=1e-6)
    assert wrong == pytest.approx(-2.302585, abs=1e-6)
    # 15 right in a row pass at limits of 0.05 and 0.05, 14 do not
    bar = replace(bar, false_pass=0.05, false_fail=0.05, least_scenarios=1)
    bar = replace(bar, most_scenarios=99)
    assert decision.verdict(14 * right, 14, bar) == "more"
    assert decision.verdict(15 * right, 15, bar) == "pass"


def course(bar, right: float, wrong: float, chance: float) -> tuple[float, float]:
    """Chance to pass and mean length, by exact recursion on the number right."""
    alive, passed, mean = {0: 1.0}, 0.0, 0.0
    for length in range(1, bar.most_scenarios + 1):
        reached: dict[int, float] = {}
        for hits, mass in alive.items():
            reached[hits] = reached.get(hits, 0.0) + mass * (1 - chance)
            reached[hits + 1] = reached.get(hits + 1, 0.0) + mass * chance
        alive = {}
        for hits, mass in reached.items():
            total = hits * right + (length - hits) * wrong
            said = decision.verdict(total, length, bar)
            if said == "more":
                alive[hits] = mass
                continue
            mean += length * mass
            passed += mass if said == "pass" else 0.0
    return passed, mean


@pytest.mark.parametrize(
    ("chance", "passes", "length"), [(0.60, 0.0422, 16.99), (0.85, 0.9666, 19.601)]
)
def test_the_exact_course_of_a_known_test(chance, passes, length):
    """0.60 against 0.85 at 0.05 and 0.05: exact recursion, printed to four digits.

    Wald's bounds: at most 0.0526 pass at 0.60, at least 0.95 at 0.85; his own mean
    lengths, 14.45 and 17.79, leave out the overshoot and must be below.
    """
    item, bar = bernoulli(0.60, 0.85)
    bar = replace(bar, false_pass=0.05, false_fail=0.05)
    bar = replace(bar, least_scenarios=1, most_scenarios=600)
    right = decision.evidence([Scored(item, 1.0, 1.0)], bar)
    wrong = decision.evidence([Scored(item, 0.0, 1.0)], bar)
    passed, mean = course(bar, right, wrong, chance)
    assert passed == pytest.approx(passes, abs=0.0006)
    assert mean == pytest.approx(length, abs=0.0006)
    assert mean > {0.60: 14.45, 0.85: 17.79}[chance]


def test_a_score_at_par_says_nothing():
    at_par = Scored(ITEM, decision.par(ITEM, BAR), 2.1)
    assert decision.evidence([at_par], BAR) == pytest.approx(0.0, abs=1e-12)


@given(st.floats(0, 1), st.floats(0, 1), st.floats(0.1, 3))
def test_evidence_is_linear_in_points_above_par(one, other, weight):
    """The difference of two scores always weighs the same."""
    par = decision.par(ITEM, BAR)
    first = decision.evidence([Scored(ITEM, one, weight)], BAR)
    second = decision.evidence([Scored(ITEM, other, weight)], BAR)
    assert first * (other - par) == pytest.approx(second * (one - par), abs=1e-9)


def test_a_mirrored_item_weighs_right_and_wrong_alike():
    item = Item(0.0, 1.0, 0.0)
    right = decision.evidence([Scored(item, 1.0, 1.0)], BAR)
    wrong = decision.evidence([Scored(item, 0.0, 1.0)], BAR)
    assert right == pytest.approx(-wrong)
    assert right == pytest.approx(BAR.clearly)  # ln(s(d) / s(-d)) = d for s logistic


def test_no_verdict_before_the_fewest_and_always_one_after_the_most():
    enough, few, many = 99.0, BAR.least_scenarios, BAR.most_scenarios
    assert decision.verdict(enough, few - 1, BAR) == "more"
    assert decision.verdict(enough, few, BAR) == "pass"
    assert decision.verdict(-enough, few, BAR) == "fail"
    assert decision.verdict(0.0, many - 1, BAR) == "more"
    assert decision.verdict(BAR.last_evidence, many, BAR) == "pass"
    assert decision.verdict(BAR.last_evidence - 0.01, many, BAR) == "fail"


def test_each_attempt_must_show_twice_as_much():
    second = decision.bar_for_attempt(BAR, 2)
    doubled = decision.pass_limit(second) - decision.pass_limit(BAR)
    assert doubled == pytest.approx(math.log(2))
    assert second.last_evidence - BAR.last_evidence == pytest.approx(math.log(2))
    assert decision.bar_for_attempt(BAR, 1) == BAR
    with pytest.raises(OutOfRange):
        decision.bar_for_attempt(BAR, 0)
