"""The line of real raters: levels, standard error and moved pars, worked by hand."""

import math
from statistics import fmean

import pytest

from academy.catalog import competence
from academy.competence.item_curve import expected_score, item_for
from academy.competence.line_setting import level, moved, panel, score_at
from academy.errors import OutOfRange

MODEL = competence.load()
KAPPA = 1 / math.sqrt(1 + math.pi * 0.25 / 8)  # s = 0.5: 0.95423


def at_logit(z, floor=0.0):
    """The expected score whose plain logit above floor, below 0.98, is z."""
    return floor + (0.98 - floor) / (1 + math.exp(-z))


def test_a_level_is_the_logit_of_the_share_above_guessing():
    """(0.615 − 0.25)/(0.98 − 0.25) = 0.5, whose logit is 0."""
    assert level(0.615, 0.25, MODEL) == pytest.approx(0.0)
    assert level(at_logit(1.0), 0.0, MODEL) == pytest.approx(1.0 / KAPPA)
    assert score_at(level(0.7, 0.2, MODEL), 0.2, MODEL) == pytest.approx(0.7)


def test_a_level_is_where_a_person_on_the_line_scores_par():
    """The same curve as the decision's: at θ = 0 the expected score is the par."""
    item = item_for(0.7, 0.2, MODEL)
    assert float(expected_score(0.0, item)) == pytest.approx(0.7)
    assert -item.difficulty == pytest.approx(level(0.7, 0.2, MODEL))


def test_the_standard_error_is_that_of_the_raters_means_worked_by_hand():
    """Three raters, two families, plain logits 0.0 0.2 0.4 and 1.0 1.3 0.7.

    Family means 0.2 and 1.0. Leanings off them: a: −0.2, 0.0 → −0.1; b: 0.0, 0.3 →
    0.15; c: 0.2, −0.3 → −0.05. Squares .01 + .0225 + .0025 = .035; /2 = .0175;
    root .132288; / √3 = .0763763. On the scale of levels all is divided by κ.
    """
    ratings = {
        "a": {"one": at_logit(0.0), "two": at_logit(1.0)},
        "b": {"one": at_logit(0.2), "two": at_logit(1.3)},
        "c": {"one": at_logit(0.4), "two": at_logit(0.7)},
    }
    found = panel(ratings, {"one": 0.0, "two": 0.0}, MODEL)
    assert found.raters == 3
    assert found.error == pytest.approx(0.0763763 / KAPPA, abs=1e-6)
    assert found.leaning["b"] == pytest.approx(0.15 / KAPPA)
    assert found.expected["one"] == pytest.approx(at_logit(0.2))
    assert found.expected["two"] == pytest.approx(at_logit(1.0))


def test_only_families_that_three_rated_count():
    ratings = {"a": {"one": 0.6, "two": 0.5}, "b": {"one": 0.6, "two": 0.9}}
    floors = {"one": 0.0, "two": 0.0}
    assert panel(ratings, floors, MODEL).error is None
    assert panel(ratings, floors, MODEL).expected == {}
    ratings["c"] = {"one": 0.6}
    found = panel(ratings, floors, MODEL)
    assert set(found.expected) == {"one"}
    assert found.error == pytest.approx(0.0, abs=1e-12)


def test_pars_move_by_one_common_number_of_logits_to_the_raters_mean():
    pars, floors = [0.55, 0.7, 0.8], [0.0, 1 / 3, 0.5]
    after = moved(pars, floors, 0.75, MODEL)
    assert fmean(after) == pytest.approx(0.75, abs=1e-4)
    shifts = [
        level(new, floor, MODEL) - level(old, floor, MODEL)
        for new, old, floor in zip(after, pars, floors, strict=True)
    ]
    assert max(shifts) - min(shifts) < 2e-3  # pars are kept to four decimals
    assert all(new > old for new, old in zip(after, pars, strict=True))


def test_a_mean_that_is_the_model_s_own_moves_nothing():
    pars = [0.55, 0.7, 0.8]
    assert moved(pars, [0.0, 0.2, 0.5], fmean(pars), MODEL) == tuple(pars)


@pytest.mark.parametrize("expected", [0.27, 0.98, 1.0])
def test_a_mean_that_guessing_gives_or_nobody_reaches_is_refused(expected):
    with pytest.raises(OutOfRange):
        moved([0.55, 0.7, 0.8], [0.0, 1 / 3, 0.5], expected, MODEL)
