"""Cover: counting people who are each ready only with some chance."""

from itertools import product
from math import prod

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from academy.catalog import competence
from academy.competence import belief, readiness
from academy.errors import OutOfRange

MODEL = competence.load()
CHANCES = st.lists(st.floats(0, 1), min_size=1, max_size=12)


@given(CHANCES)
def test_counts_agree_with_another_implementation(chances):
    law = stats.poisson_binom(chances)
    wanted = law.pmf(np.arange(len(chances) + 1))
    assert readiness.poisson_binomial(chances) == pytest.approx(wanted, abs=1e-10)


@given(st.lists(st.floats(0, 1), max_size=7), st.integers(-1, 8))
def test_cover_is_the_sum_over_every_way_the_crew_can_stand(chances, needed):
    wanted = 0.0
    for stands in product([0, 1], repeat=len(chances)):
        if sum(stands) >= needed:
            pairs = zip(chances, stands, strict=True)
            wanted += prod(p if ready else 1 - p for p, ready in pairs)
    got = readiness.chance_at_least(chances, needed)
    assert got == pytest.approx(wanted, abs=1e-12)


def test_equal_people_follow_the_binomial_law():
    # 5 people at 0.5, all or 4: (1 + 5) / 32
    assert readiness.chance_at_least([0.5] * 5, 4) == pytest.approx(6 / 32)


@given(CHANCES, st.integers(1, 12))
def test_a_missing_person_costs_the_chance_times_the_importance(chances, needed):
    """R = p R(there) + (1 - p) R(away): R - R(away) = p (R(there) - R(away))."""
    drops = readiness.drop_when_absent(chances, needed)
    wanted = np.array(chances) * readiness.importance(chances, needed)
    assert drops == pytest.approx(wanted, abs=1e-12)
    assert (drops >= -1e-12).all()


def test_the_bottleneck_by_hand():
    """One of two is needed: A 0.9, B 0.5. Cover 1 - 0.1 * 0.5 = 0.95.

    Without A 0.5 is left, a drop of 0.45; without B 0.9, a drop of 0.05.
    """
    assert readiness.chance_at_least([0.9, 0.5], 1) == pytest.approx(0.95)
    drops = readiness.drop_when_absent([0.9, 0.5], 1)
    assert drops == pytest.approx([0.45, 0.05])
    assert readiness.importance([0.9, 0.5], 1) == pytest.approx([0.5, 0.1])


def test_more_needed_than_there_are_cannot_be_covered():
    assert readiness.chance_at_least([1.0, 1.0], 3) == 0.0
    assert readiness.importance([1.0], 5) == pytest.approx([0.0])


def test_a_job_needs_all_its_topics():
    assert readiness.role_chance([0.9, 0.8, 0.5]) == pytest.approx(0.36)
    assert readiness.role_chance([]) == 1.0


def test_the_expected_number_is_the_mean_of_the_counts():
    chances = [0.2, 0.7, 0.9]
    counts = readiness.poisson_binomial(chances)
    assert readiness.expected_ready(chances) == pytest.approx(
        sum(n * p for n, p in enumerate(counts))
    )


@pytest.mark.parametrize(
    ("chance", "wanted"),
    [(0.8, "ready"), (0.7999, "refresh"), (0.5, "refresh"), (0.4999, "not_yet")],
)
def test_words_change_at_their_chances(chance, wanted):
    assert readiness.word(chance, MODEL) == wanted


@pytest.mark.parametrize(
    ("level", "accuracy", "mixed"),
    [(0.6, 136, 228), (1.0, 200, 335), (1.5, 265, 443), (2.0, 317, 531)],
)
def test_a_symmetric_belief_lapses_when_its_mean_reaches_the_line(
    level, accuracy, mixed
):
    """The mean -1 + (1 + m) 2^(-d/H) is 0 at d = H log2(1 + m), rounded up.

    200 log2(1.6) = 135.6, 335 log2(1.6) = 227.2, 200 log2(2.5) = 264.4, and so on.
    """
    grid = belief.normal(level, 0.4)
    assert readiness.lapse_days(grid, 200, MODEL, most=3000) == accuracy
    assert readiness.lapse_days(grid, 335, MODEL, most=3000) == mixed


def test_a_certificate_lives_a_year_at_most_and_the_unready_none():
    assert readiness.lapse_days(belief.normal(3.0, 0.3), 395, MODEL) == 365
    assert readiness.lapse_days(belief.prior(MODEL), 335, MODEL) == 0


@pytest.mark.parametrize("chance", [-0.1, 1.1, float("nan")])
def test_a_chance_that_is_none_is_refused(chance):
    with pytest.raises(OutOfRange):
        readiness.poisson_binomial([0.5, chance])
