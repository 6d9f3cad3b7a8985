"""The belief and the cover against published tables of other people's programs.

LSAT-6 and LSAT-7: 1000 answer patterns to five questions each, Bock and Lieberman,
Psychometrika 35 (1970), 179-197, as stored in the R package psych (bock.table). Fits:
R packages ltm (Rizopoulos, Journal of Statistical Software 17(5), 2006) and mirt
(Chalmers, same journal 48(6), 2012), whose printed output is named at each check.
Our grid is coarser than theirs: cells of h = 1/8 change second-order quantities by some
h**2 / 12 = 0.0013, which the tolerances add.
"""

import math

import numpy as np
import pytest

from academy.catalog import competence
from academy.competence import belief, readiness
from academy.competence.belief import CENTRES, STEP, Scored
from academy.competence.item_curve import Item, expected_score

LSAT6 = {
    "00000": 3, "00001": 6, "00010": 2, "00011": 11, "00100": 1, "00101": 1,
    "00110": 3, "00111": 4, "01000": 1, "01001": 8, "01010": 0, "01011": 16,
    "01100": 0, "01101": 3, "01110": 2, "01111": 15, "10000": 10, "10001": 29,
    "10010": 14, "10011": 81, "10100": 3, "10101": 28, "10110": 15, "10111": 80,
    "11000": 16, "11001": 56, "11010": 21, "11011": 173, "11100": 11, "11101": 61,
    "11110": 28, "11111": 298,
}  # fmt: skip
LSAT7 = {
    "00000": 12, "00001": 19, "00010": 1, "00011": 7, "00100": 3, "00101": 19,
    "00110": 3, "00111": 17, "01000": 10, "01001": 5, "01010": 3, "01011": 7,
    "01100": 7, "01101": 23, "01110": 8, "01111": 28, "10000": 7, "10001": 39,
    "10010": 11, "10011": 34, "10100": 14, "10101": 51, "10110": 15, "10111": 90,
    "11000": 6, "11001": 25, "11010": 7, "11011": 35, "11100": 18, "11101": 136,
    "11110": 32, "11111": 308,
}  # fmt: skip

# ltm(LSAT ~ z1), printed difficulties and discriminations
LTM_DIFFICULTY = (-3.3597, -1.3696, -0.2799, -1.8659, -3.1236)
LTM_SLOPE = (0.8254, 0.7229, 0.8905, 0.6886, 0.6575)
# ltm factor.scores, printed: expected count, posterior mode, its standard error
LTM_SCORES = {
    "00000": (2.277, -1.895, 0.795),
    "00001": (5.861, -1.479, 0.796),
    "00011": (8.942, -1.041, 0.800),
    "00100": (0.696, -1.331, 0.797),
    "01111": (13.92, 0.023, 0.828),
    "10000": (9.48, -1.373, 0.797),
    "10011": (76.562, -0.506, 0.811),
    "11011": (173.31, -0.022, 0.827),
    "11101": (62.52, 0.117, 0.832),
    "11110": (29.127, 0.139, 0.833),
    "11111": (296.693, 0.606, 0.855),
}


def items(slopes, difficulties) -> list[Item]:
    pairs = zip(slopes, difficulties, strict=True)
    return [Item(0.0, 1.0, difficulty, slope) for slope, difficulty in pairs]


LTM = items(LTM_SLOPE, LTM_DIFFICULTY)


def posterior(pattern: str, curves: list[Item]):
    answers = [
        Scored(item, float(right), 1.0)
        for item, right in zip(curves, pattern, strict=True)
    ]
    return belief.update(belief.normal(0.0, 1.0), answers)


def pattern_chance(pattern: str, curves: list[Item]) -> float:
    likelihood = np.ones_like(CENTRES)
    for item, right in zip(curves, pattern, strict=True):
        expected = expected_score(CENTRES, item)
        likelihood *= expected if right == "1" else 1 - expected
    return float((belief.normal(0.0, 1.0) * likelihood).sum())


def log_likelihood(patterns: dict[str, int], curves: list[Item]) -> float:
    return sum(
        count * math.log(pattern_chance(pattern, curves))
        for pattern, count in patterns.items()
    )


def mode_and_width(grid) -> tuple[float, float]:
    """Top of the parabola through the three highest cells, and the width there.

    The bend differs from cell to cell: it is read between them, at the top itself.
    """
    top = int(grid.argmax())
    heights = np.log(grid[top - 2 : top + 3])
    bends = np.diff(heights, 2)
    shift = (heights[1] - heights[3]) / (2 * bends[1])
    bend = float(np.interp(shift, [-1, 0, 1], bends))
    return float(CENTRES[top] + STEP * shift), STEP / math.sqrt(-bend)


@pytest.mark.parametrize("pattern", LTM_SCORES)
def test_posterior_modes_are_those_ltm_prints(pattern):
    """Printed to 0.001; the cells pull a mode m toward 0 by up to 0.0013 |m|."""
    _, wanted, _ = LTM_SCORES[pattern]
    got, _ = mode_and_width(posterior(pattern, LTM))
    assert got == pytest.approx(wanted, abs=0.001 + 0.0013 * abs(wanted))


@pytest.mark.parametrize("pattern", LTM_SCORES)
def test_posterior_widths_are_the_standard_errors_ltm_prints(pattern):
    """Printed to 0.001; the cells bend the top by h**2 / 12, half of that in width."""
    _, _, wanted = LTM_SCORES[pattern]
    _, got = mode_and_width(posterior(pattern, LTM))
    assert got == pytest.approx(wanted, abs=0.001 + 0.0013 / 2)


@pytest.mark.parametrize("pattern", LTM_SCORES)
def test_expected_counts_of_patterns_are_those_ltm_prints(pattern):
    """ltm's own sum over 21 points and the printed parameters allow 0.03.

    Cells add the share h**2 / 24 times |E(theta**2) - 1| after that pattern; below 1
    for the frequent ones.
    """
    wanted, _, _ = LTM_SCORES[pattern]
    allowed = 0.03 + STEP**2 / 24 * wanted
    assert 1000 * pattern_chance(pattern, LTM) == pytest.approx(wanted, abs=allowed)


def test_chances_of_all_patterns_add_up_to_one():
    assert sum(pattern_chance(each, LTM) for each in LSAT6) == pytest.approx(1.0)


def test_log_likelihood_of_the_two_parameter_fit():
    """ltm prints logLik -2466.653; AIC 4953.307 = 2 * 10 + 2 * 2466.653."""
    assert log_likelihood(LSAT6, LTM) == pytest.approx(-2466.653, abs=0.01)
    aic = 20 - 2 * log_likelihood(LSAT6, LTM)
    assert aic == pytest.approx(4953.307, abs=0.02)


def test_log_likelihood_of_the_fit_another_program_prints():
    """mirt's estimates, safe to two decimals, lie at the same top of the hill."""
    mirt = items(
        (0.825, 0.724, 0.888, 0.689, 0.659), (-3.362, -1.368, -0.28, -1.864, -3.117)
    )
    assert log_likelihood(LSAT6, mirt) == pytest.approx(-2466.653, abs=0.02)


def test_log_likelihood_with_the_slope_fixed_at_1_702():
    """ltm::rasch prints difficulties and logLik -2541, a whole number."""
    rasch = items([1.702] * 5, (-1.927, -0.742, -0.195, -0.96, -1.507))
    assert log_likelihood(LSAT6, rasch) == pytest.approx(-2541, abs=0.5)


def test_log_likelihood_with_one_free_slope():
    """ltm::rasch(LSAT): from memory, not seen in print again."""
    shared = items([0.7551] * 5, (-3.6153, -1.3224, -0.3176, -1.7301, -2.7802))
    assert log_likelihood(LSAT6, shared) == pytest.approx(-2466.938, abs=0.01)


def test_log_likelihood_of_lsat_7():
    """mirt's documentation example; slopes and intercepts a theta + d, from memory."""
    slopes = (0.9875, 1.0808, 1.7075, 0.765, 0.7357)
    intercepts = (1.8559, 0.808, 1.8052, 0.486, 1.8545)
    pairs = zip(slopes, intercepts, strict=True)
    fit = items(slopes, [-intercept / slope for slope, intercept in pairs])
    assert log_likelihood(LSAT7, fit) == pytest.approx(-2658.805, abs=0.02)


def test_the_share_right_of_each_question_is_explained_by_the_fit():
    """Facilities of LSAT-6 as R's summary prints them: a fit repeats the margins."""
    printed = (0.924, 0.709, 0.553, 0.763, 0.870)
    counted = [
        sum(n for pattern, n in LSAT6.items() if pattern[place] == "1") / 1000
        for place in range(5)
    ]
    grid = belief.normal(0.0, 1.0)
    fitted = [float((grid * expected_score(CENTRES, item)).sum()) for item in LTM]
    assert counted == pytest.approx(printed, abs=0.0005)
    assert fitted == pytest.approx(printed, abs=0.001)


def test_one_question_answered_right():
    """Prior N(0, 1), slope 1, difficulty 0: mean 0.41324193, spread 0.91062128.

    The mean is 2 E[p (1 - p)] by Stein's identity, done by quadrature; cells allow
    h**2 / 12.
    """
    grid = belief.update(
        belief.normal(0.0, 1.0), [Scored(Item(0.0, 1.0, 0.0), 1.0, 1.0)]
    )
    read = belief.summary(grid, competence.load())
    assert read.eap == pytest.approx(0.41324193, abs=0.0013)
    assert read.sd == pytest.approx(0.91062128, abs=0.0013)


def test_the_counts_of_five_unequal_people():
    """Hong, Computational Statistics and Data Analysis 59 (2013), example of poibin.

    Nobody: 0.9 * 0.8 * 0.7 * 0.6 * 0.5 = 0.1512; all: 0.1 * 0.2 * 0.3 * 0.4 * 0.5.
    """
    got = readiness.poisson_binomial([0.1, 0.2, 0.3, 0.4, 0.5])
    wanted = [0.1512, 0.3714, 0.3274, 0.1274, 0.0214, 0.0012]
    assert got == pytest.approx(wanted, abs=1e-12)


@pytest.mark.parametrize(
    ("chance", "number", "needed", "wanted"),
    [
        (0.60, 20, 17, 0.015961),
        (0.85, 20, 17, 0.647725),
        (0.60, 30, 23, 0.043524),
        (0.85, 30, 23, 0.930215),
    ],
)
def test_equal_chances_give_binomial_tails(chance, number, needed, wanted):
    """Binomial tables: a fixed test of 20 or 30 passed with 17 or 23 right."""
    got = readiness.chance_at_least([chance] * number, needed)
    assert got == pytest.approx(wanted, abs=1e-6)


@pytest.mark.parametrize(
    ("chance", "wanted"),
    [(0.6, 0.010078), (0.7, 0.040354), (0.8, 0.134218), (0.98, 0.833748)],
)
def test_nine_of_nine(chance, wanted):
    """The ninth power: all of nine critical things must be right."""
    assert readiness.role_chance([chance] * 9) == pytest.approx(wanted, abs=1e-6)


@pytest.mark.parametrize(
    ("memory", "months"), [("accuracy", 6.5), ("mixed", 11), ("speed", 13)]
)
def test_half_lives_are_those_of_the_meta_analysis(memory, months):
    """Tatel and Ackerman, doi 10.1037/bul0000481: half of the gain is gone after some
    6.5, 11 and 13 months. Our days are rounded to fives.
    """
    days = competence.load().half_life(memory)
    assert days == pytest.approx(months * 365.25 / 12, abs=2.5)
