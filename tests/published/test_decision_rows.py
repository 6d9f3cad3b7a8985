"""Proportions, decision consistency and the bar against printed and open figures.

Limits of proportions: Wilson (1927) as Newcombe, Statistics in Medicine 17 (1998),
857-872, method 3, prints them, and statsmodels. Consistency of two forms: Huynh (1976)
and Subkoviak (1976), beta-binomial model, here by quadrature over our own chances.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy import stats
from statsmodels.stats.proportion import proportion_confint

from academy.catalog import assessment
from academy.competence import decision, readiness
from academy.competence.belief import Scored
from academy.competence.item_curve import Item, design_weight, expected_score
from academy.competence.proportion import wilson
from academy.errors import OutOfRange
from academy.grading.options import MOST_FLIPS

BAR = assessment.bar()


@pytest.mark.parametrize(
    ("hits", "tries", "low", "high"),
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_limits_of_a_share_are_those_newcombe_prints(hits, tries, low, high):
    """Examples seen named as his; limits from memory, confirmed by statsmodels."""
    assert wilson(hits, tries) == pytest.approx((low, high), abs=1e-4)


@pytest.mark.parametrize("tries", [1, 7, 250, 2000])
def test_limits_of_a_share_are_those_of_statsmodels(tries):
    for hits in {0, 1, tries // 3, tries - 1, tries}:
        wanted = proportion_confint(hits, tries, alpha=0.05, method="wilson")
        assert wilson(hits, tries) == pytest.approx(wanted, abs=1e-9)


def test_a_share_of_nothing_is_refused():
    for hits, tries in ((0, 0), (3, 2), (-1, 5)):
        with pytest.raises(OutOfRange):
            wilson(hits, tries)


def test_the_flips_allowed_are_the_most_that_keep_the_limit_at_95_per_cent():
    """Clopper and Pearson (1934), one-sided: 250/256 gives 0.9543, 249/256 0.9493."""
    for kept, wanted in ((250, 0.9543), (249, 0.9493)):
        exact = stats.beta.ppf(0.05, kept, 256 - kept + 1)
        theirs = proportion_confint(kept, 256, alpha=0.10, method="beta")[0]
        assert exact == pytest.approx(wanted, abs=1e-4)
        assert theirs == pytest.approx(wanted, abs=1e-4)
    limits = [
        proportion_confint(256 - flips, 256, alpha=0.10, method="beta")[0]
        for flips in range(12)
    ]
    assert sum(limit >= 0.95 for limit in limits) - 1 == MOST_FLIPS


def test_equal_chances_are_binomial():
    """20 at .60 and .85 with 17 to pass, 30 with 23: binomial tails."""
    cases = [
        (0.60, 20, 17, 0.015961),
        (0.85, 20, 17, 0.647725),
        (0.60, 30, 23, 0.043524),
        (0.85, 30, 23, 0.930215),
    ]
    for chance, count, needed, wanted in cases:
        got = readiness.chance_at_least([chance] * count, needed)
        assert got == pytest.approx(wanted, abs=1e-6)
        assert got == pytest.approx(stats.binom.sf(needed - 1, count, chance))


def test_agreement_of_two_forms_is_that_of_the_beta_binomial():
    """Ten items, eight to pass, true scores Beta(6, 2): pass .558824, agreement
    .703879, by chance .50692, kappa .399446."""
    nodes, weights = np.polynomial.legendre.leggauss(40)
    levels, shares = (nodes + 1) / 2, weights / 2
    density = shares * stats.beta.pdf(levels, 6, 2)
    passing = np.array([readiness.chance_at_least([p] * 10, 8) for p in levels])
    rate = float((density * passing).sum())
    same = float((density * (passing**2 + (1 - passing) ** 2)).sum())
    chance = rate**2 + (1 - rate) ** 2
    assert rate == pytest.approx(0.558824, abs=1e-6)
    assert rate == pytest.approx(stats.betabinom.sf(7, 10, 6, 2))
    assert same == pytest.approx(0.703879, abs=1e-6)
    assert chance == pytest.approx(0.50692, abs=1e-6)
    assert (same - chance) / (1 - chance) == pytest.approx(0.399446, abs=1e-5)


STANDARD = Item(0.0, 0.98, -0.85)
"""Difficulty -0.85 and a master's 0.98: the item of the design's own figures."""


def test_par_and_points_are_those_of_the_design():
    """By hand: P(.75) = .98/(1+e^-1.6) = .81545, P(-.75) = .98/(1+e^-.1) = .51448.

    A = ln(.81545/.51448) = .46056, B = ln(.18455/.48552) = -.96731, par = B/(B-A) =
    .6774; a point in four parts weighs 4/1.9 (A-B) = 3.006; so 3.807 is 1.27 points
    above par, 2.282 are .76 below, and 1.5 are .5.
    """
    assert decision.par(STANDARD, BAR) == pytest.approx(0.6774, abs=1e-4)
    weight = design_weight(4, 0.3)
    full = decision.evidence([Scored(STANDARD, 1.0, weight)], BAR)
    none = decision.evidence([Scored(STANDARD, 0.0, weight)], BAR)
    point = full - none
    assert point == pytest.approx(3.006, abs=1e-3)
    assert decision.pass_limit(BAR) / point == pytest.approx(1.27, abs=0.005)
    assert decision.fail_limit(BAR) / point == pytest.approx(-0.76, abs=0.005)
    assert BAR.last_evidence / point == pytest.approx(0.5, abs=0.005)


def test_the_clear_levels_are_the_domain_scores_of_the_design():
    """Mean over difficulties N(-0.85, 0.6): 0.51, 0.67 and 0.80 (two decimals)."""
    nodes, weights = np.polynomial.hermite_e.hermegauss(41)
    shares = weights / weights.sum()
    for level, wanted in ((-0.75, 0.51), (0.0, 0.67), (0.75, 0.80)):
        mean = sum(
            share
            * float(expected_score(np.array(level), Item(0, 0.98, -0.85 + 0.6 * z)))
            for z, share in zip(nodes, shares, strict=True)
        )
        assert mean == pytest.approx(wanted, abs=0.006)


def test_the_bars_of_retakes_are_those_of_the_design():
    """alpha 0.02, 0.01, 0.005; last evidence 1.5, 2.2, 2.9 (one decimal)."""
    for attempt, alpha, last in ((1, 0.02, 1.5), (2, 0.01, 2.2), (3, 0.005, 2.9)):
        bar = decision.bar_for_attempt(BAR, attempt)
        assert bar.false_pass == pytest.approx(alpha)
        assert bar.last_evidence == pytest.approx(last, abs=0.05)
        wald = math.log(0.9 / alpha)
        assert decision.pass_limit(bar) == pytest.approx(wald)


def test_the_recommended_bar_is_the_one_in_force():
    """Guard-banded: 0.02, 0.10, 8 at least, 1.5 at the last; with a basic 0.05: 2.890.

    Sixteen at most were recommended for items without options; see the figure's note.
    """
    assert (BAR.false_pass, BAR.false_fail, BAR.clearly) == (0.02, 0.10, 0.75)
    assert (BAR.least_scenarios, BAR.last_evidence) == (8, 1.5)
    assert 16 <= BAR.most_scenarios <= 20
    basic = replace(BAR, false_pass=0.05)
    assert decision.pass_limit(basic) == pytest.approx(2.890372, abs=1e-6)
