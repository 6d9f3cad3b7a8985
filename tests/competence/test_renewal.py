"""Credit when a certificate is renewed."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from academy.catalog import assessment
from academy.competence.renewal import bar_again, starting_credit
from academy.errors import OutOfRange

AGAIN = assessment.again()


@pytest.mark.parametrize(
    ("chance", "wanted"),
    [
        (0.0, 0.0),
        (0.5, 0.0),
        (0.6, math.log(1.5)),  # 0.6 / 0.4
        (0.75, math.log(3)),  # the cap, just reached
        (0.9, math.log(3)),  # ln 9, capped
        (1.0, math.log(3)),
    ],
)
def test_credit_is_the_log_of_the_odds_up_to_three(chance, wanted) -> None:
    assert starting_credit(chance, AGAIN) == pytest.approx(wanted)


@given(st.floats(0, 1), st.floats(0, 1))
def test_credit_never_falls_when_the_chance_rises(one, other) -> None:
    low, high = sorted((one, other))
    assert 0 <= starting_credit(low, AGAIN) <= starting_credit(high, AGAIN)


def test_a_chance_beyond_one_is_refused() -> None:
    with pytest.raises(OutOfRange):
        starting_credit(1.2, AGAIN)


def test_a_renewal_is_shorter_and_as_strict() -> None:
    bar, again = assessment.bar(), bar_again(assessment.bar(), AGAIN)
    assert (again.least_scenarios, again.most_scenarios) == (6, 12)
    assert (again.false_pass, again.last_evidence) == (
        bar.false_pass,
        bar.last_evidence,
    )
