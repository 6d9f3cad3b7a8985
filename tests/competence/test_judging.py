"""An assessment judged again by its own terms, beside hand-worked evidence."""

import math

import pytest

from academy.catalog import assessment, competence
from academy.competence import judging
from academy.competence.decision import bar_for_attempt
from academy.competence.judging import Given
from academy.errors import NotUnderstood

FOUR = 4 / (1 + 3 * 0.3) / 4  # weight of one of four parts, design effect at 0.3


@pytest.fixture
def terms():
    return judging.terms(assessment.bar(), assessment.gate(), competence.load())


def gate(*right):
    return [Given("gate", one, ()) for one in right]


def scenario(score, par=0.65, floor=0.0, parts=4):
    return Given("scenario", True, ((par, floor, score),) * parts)


def log_likelihood_ratio(score, par, floor):
    """By hand: P(θ) = c + (d − c)·σ(κ(θ − b)), through par at θ = 0, at θ = ±0.75.

    d = 0.98; κ = 1/√(1 + π s²/8) with s = 0.5 (MacKay's approximation).
    """
    kappa = 1 / math.sqrt(1 + math.pi * 0.5**2 / 8)
    q = (par - floor) / (0.98 - floor)
    b = -math.log(q / (1 - q)) / kappa

    def chance(theta):
        return floor + (0.98 - floor) / (1 + math.exp(-kappa * (theta - b)))

    above, below = chance(0.75), chance(-0.75)
    right, wrong = math.log(above / below), math.log((1 - above) / (1 - below))
    return score * right + (1 - score) * wrong


def test_evidence_adds_up_as_worked_by_hand(terms):
    given = [*gate(*[True] * 10), scenario(0.9, 0.65), scenario(0.2, 0.7, 0.25)]
    judged = judging.judge(terms, 0.4, given)
    first = 4 * FOUR * log_likelihood_ratio(0.9, 0.65, 0.0)
    second = 4 * FOUR * log_likelihood_ratio(0.2, 0.7, 0.25)
    assert judged.running[:10] == (0.4,) * 10
    assert judged.running[10] == pytest.approx(0.4 + first, rel=1e-12)
    assert judged.evidence == pytest.approx(0.4 + first + second, rel=1e-12)
    assert (judged.outcome, judged.scenarios) == (None, 2)


def test_eight_good_scenarios_pass_and_eight_bad_ones_do_not(terms):
    """α = 0.02, β = 0.10: pass from ln(0.9/0.02) = 3.807, fail from −2.282."""
    told = judging.limits(terms)
    assert told.passes == pytest.approx(math.log(0.9 / 0.02))
    assert told.fails == pytest.approx(-math.log(0.98 / 0.10))
    for score, outcome in ((1.0, "pass"), (0.2, "fail")):
        given = [*gate(*[True] * 10), *[scenario(score)] * 8]
        assert judging.judge(terms, 0.0, given[:-1]).outcome is None
        assert judging.judge(terms, 0.0, given).outcome == outcome


def test_two_misses_at_the_gate_end_it_and_one_needs_six_of_six(terms):
    miss = [*[True] * 9, False]
    good = [scenario(1.0)] * 8
    fresh = [Given("fresh", True, ())] * 6
    spoiled = [*fresh[:5], Given("fresh", False, ())]
    assert judging.judge(terms, 0.0, gate(False, False)).outcome == "gate"
    assert judging.judge(terms, 0.0, [*gate(*miss), *spoiled]).outcome == "gate"
    assert judging.judge(terms, 0.0, [*gate(*miss), *fresh, *good]).outcome == "pass"
    assert judging.judge(terms, 0.0, [*gate(*miss), *good]).outcome is None


def test_the_terms_of_the_time_hold_and_not_those_of_today(terms):
    """A second attempt halves α and asks ln 2 more at the end (1.5, then 2.193)."""
    bar = bar_for_attempt(assessment.bar(), 2)
    later = judging.terms(bar, assessment.gate(), competence.load())
    told = judging.limits(later)
    assert told.passes == pytest.approx(math.log(0.9 / 0.01))
    assert told.last == pytest.approx(1.5 + math.log(2))
    assert judging.limits(terms).last == 1.5


def test_unknown_terms_are_refused():
    with pytest.raises(NotUnderstood, match="terms_not_known"):
        judging.judge({"judging": 99}, 0.0, [])


FIRST_TERMS = {
    "judging": 1,
    "bar": {
        "false_pass": 0.02,
        "false_fail": 0.1,
        "clearly": 0.75,
        "least_scenarios": 8,
        "most_scenarios": 16,
        "last_evidence": 1.5,
        "most_parts": 6,
        "hardest_par": 0.45,
        "easiest_par": 0.85,
    },
    "gate": {"questions": 10, "fresh": 6},
    "model": {
        "prior_mean": -1.0,
        "prior_sd": 1.5,
        "untrained_level": -1.0,
        "settled_sd": 0.9,
        "half_life_accuracy": 200.0,
        "half_life_mixed": 335.0,
        "half_life_speed": 395.0,
        "learning_gain": 0.05,
        "learning_sd": 0.15,
        "part_correlation": 0.3,
        "difficulty_sd": 0.5,
        "ceiling": 0.98,
        "practice_weight": 0.5,
        "ready_chance": 0.8,
        "refresh_chance": 0.5,
        "interval_share": 0.9,
        "certificate_days": 365.0,
    },
}
"""Terms as a log of the first release holds them: never to be touched."""


def test_terms_kept_by_the_first_release_are_judged_for_ever():
    """Where this fails, a judged record has lost its rule: freeze what it did."""
    given = [*gate(*[True] * 10), *[scenario(0.9)] * 8]
    judged = judging.judge(FIRST_TERMS, 0.0, given)
    by_hand = 8 * 4 * FOUR * log_likelihood_ratio(0.9, 0.65, 0.0)
    assert judged.evidence == pytest.approx(by_hand, rel=1e-12)
    assert by_hand > math.log(0.9 / 0.02)
    assert judged.outcome == "pass"
