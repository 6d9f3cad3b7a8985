"""Numbers with a unit: the tolerance law, and slips that can be told apart."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from academy.catalog import crops, unit_slips
from academy.grading.numeric import (
    FULL,
    NOTHING,
    full_tolerance,
    mark_number,
    numeric_score,
    slip_in,
)
from academy.scenarios.number import COMPUTABLES

BUSHEL = crops.load("soybean").bushel
KEYS = st.floats(1e-3, 1e6)
POWERS = {"ten": 10.0, "hundred": 100.0, "thousand": 1000.0, "sign": -1.0}


def factors(kind: str) -> dict[str, float]:
    slips = unit_slips.load()[kind]
    return {str(place): slip.factor(BUSHEL) for place, slip in enumerate(slips)}


@pytest.mark.parametrize(
    ("off", "score"),
    [
        (0.0, 1.0),
        (0.019, 1.0),
        (0.04, 0.75),  # a quarter of the way from 2 % to 10 %
        (0.06, 0.5),
        (0.08, 0.25),
        (0.101, 0.0),
        (3.0, 0.0),
    ],
)
def test_two_percent_is_full_ten_percent_nothing_and_straight_between(off, score):
    assert numeric_score(50.0 * (1 + off), 50.0) == pytest.approx(score)
    assert numeric_score(50.0 * max(1 - off, 0), 50.0) == pytest.approx(score)


@given(KEYS)
def test_three_printed_digits_always_earn_full_marks(key):
    assert numeric_score(float(f"{key:.3g}"), key) == 1.0


@given(KEYS)
def test_the_tolerance_is_two_percent_and_covers_half_the_third_digit(key):
    # half of the third digit is at most 0.5 in 100, so that 2 % is the wider
    assert full_tolerance(key) == FULL
    assert NOTHING == 5 * FULL


@given(KEYS, st.floats(-0.5, 0.5), st.floats(0, 1))
def test_nearer_to_the_key_never_scores_less(key, off, part):
    near, far = key * (1 + off * part), key * (1 + off)
    assert numeric_score(near, key) >= numeric_score(far, key)


@given(KEYS, st.floats(-2, 2), st.floats(1e-3, 1e3))
def test_the_score_does_not_depend_on_the_unit(key, times, unit):
    one, other = (
        numeric_score(key * times, key),
        numeric_score(key * times * unit, key * unit),
    )
    assert one == pytest.approx(other, abs=1e-6)


@given(KEYS)
def test_nothing_and_the_far_side_of_zero_are_marked_without_a_stumble(key):
    assert mark_number(0.0, key, {}).reason == "far_off"
    assert mark_number(-key, key, {}).detail["slip"] == "sign"


@pytest.mark.parametrize("power", ["ten", "hundred", "thousand"])
def test_a_lost_or_added_nought_is_half_right(power):
    for answer in (7.0 * POWERS[power], 7.0 / POWERS[power]):
        mark = mark_number(answer, 7.0, {})
        assert (mark.score, mark.reason) == (0.5, "unit_slip")
        assert mark.detail["slip"] == power


@pytest.mark.parametrize(
    ("kind", "factor"),
    [
        ("reel_speed", 2.0),  # radius for diameter
        ("reel_speed", 0.104720),  # 2 pi / 60
        ("reel_speed", 1.609344),
        ("loss_mass", 10.7639),  # square feet in a square metre
        ("loss_mass", 2.47105),  # acres in a hectare
        ("loss_mass", 67.2511),  # a 60 lb bushel per acre in kg/ha
        ("money_per_area", 2.47105),
        ("area_rate", 1.609344),
        ("area_rate", 3.28084),  # feet in a metre
        ("time", 60.0),
    ],
)
def test_known_slips_of_each_kind_are_found_both_ways(kind, factor):
    # factors of the international yard and pound of 1959, NIST SP 811
    for answer in (12.0 * factor, 12.0 / factor):
        mark = mark_number(answer, 12.0, factors(kind))
        assert mark.reason == "unit_slip"
        found = factors(kind)[mark.detail["slip"]]
        assert max(found, 1 / found) == pytest.approx(max(factor, 1 / factor), rel=1e-5)


@pytest.mark.parametrize("kind", sorted(unit_slips.load()))
def test_no_answer_fits_two_slips_of_a_kind(kind):
    known = {**factors(kind), **POWERS}
    both = [(name, side) for name, f in known.items() for side in {f, 1 / f}]
    for (name, one), (other, two) in combinations(both, 2):
        if name != other and one * two > 0:
            nearer, wider = sorted((abs(one), abs(two)))
            assert nearer * (1 + FULL) < wider * (1 - FULL), (name, other)


@pytest.mark.parametrize("kind", sorted(unit_slips.load()))
def test_no_slip_hides_in_the_tolerance(kind):
    for factor in factors(kind).values():
        assert max(factor, 1 / factor) * (1 - FULL) > 1 + NOTHING


def test_slips_are_listed_for_kinds_that_are_asked():
    assert set(unit_slips.load()) <= {known.kind for known in COMPUTABLES.values()}


@given(st.floats(1.25, 1.45))
def test_what_is_no_slip_is_merely_far_off(times):
    # between the tolerance and the smallest factor, 1.609
    assert slip_in(10 * times, 10.0, factors("reel_speed")) is None
    assert mark_number(10 * times, 10.0, factors("reel_speed")).score == 0
