"""The weakest pass by points: what it is worth, whatever was answered."""

from dataclasses import replace
from math import isclose

from academy.catalog import assessment, competence
from academy.competence import decision
from academy.competence.belief import Scored
from academy.competence.decision import bar_for_attempt
from academy.competence.item_curve import item_for, part_weight
from academy.competence.least_pass import least_pass

MODEL = competence.load()
BAR = assessment.bar()


def asked(scenarios: int, score: float, par: float = 0.6) -> list[Scored]:
    """Scenarios of four parts, each scored the same."""
    item = item_for(par, 0.0, MODEL)
    return [Scored(item, score, part_weight(4, MODEL))] * (4 * scenarios)


def test_it_just_reaches_the_limit_after_the_last_scenario() -> None:
    # assessment.md 2.1: after at most 16 scenarios pass if the ratio is 1.5 or more
    for scenarios in (3, 8, 16):
        found = least_pass(asked(scenarios, 0.2), scenarios, BAR)
        assert isclose(decision.evidence(found, BAR), 1.5, abs_tol=1e-9)
    assert decision.verdict(1.5, 16, BAR) == "pass"
    assert decision.verdict(1.5 - 1e-9, 16, BAR) == "fail"


def test_a_part_lies_three_hundredths_above_its_par() -> None:
    # By hand, from the formulas of assessment.md 1.2 and 2.1: kappa = 0.9543,
    # b = -0.4787, P(0.75) = 0.7483, P(-0.75) = 0.4269, so A = 0.5613, B = -0.8228 and
    # par = 0.8228 / 1.3841 = 0.5945. Sixteen scenarios weigh 16 * 4 / 1.9 = 33.68, so a
    # part lies 1.5 / (33.68 * 1.3841) = 0.0322 above: 0.6267.
    found = least_pass(asked(9, 0.3), 9, BAR)
    assert all(abs(one.score - 0.6267) < 0.0003 for one in found)
    assert abs(sum(one.weight for one in found) - 33.68) < 0.01


def test_the_scores_that_were_given_play_no_part() -> None:
    assert least_pass(asked(8, 0.0), 8, BAR) == least_pass(asked(8, 1.0), 8, BAR)


def test_a_further_attempt_has_to_show_more() -> None:
    # each attempt adds ln 2 to what passes after the last scenario
    found = least_pass(asked(8, 0.3), 8, bar_for_attempt(BAR, 2))
    assert isclose(decision.evidence(found, BAR), 1.5 + 0.693147, abs_tol=1e-5)


def test_no_score_lies_beyond_full_marks() -> None:
    hard = replace(BAR, last_evidence=500.0)
    found = least_pass(asked(8, 0.3), 8, hard)
    assert {one.score for one in found} == {1.0}
    assert least_pass([], 0, BAR) == []
