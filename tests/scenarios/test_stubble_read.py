"""The stubble that a fault leaves: each shows in its own trait, and is drawn so."""

from dataclasses import replace

import pytest

from academy.catalog import families, faults
from academy.scenarios import stubble
from academy.scenarios.dice import Dice
from academy.scenarios.draw import draw
from academy.service.problems import problem_of


@pytest.fixture(scope="module")
def one():
    key = "read-the-stubble-soybean"
    problem = problem_of(draw(key, families.load(key), 1), ())
    return stubble.Pass(
        problem.field, problem.machine, problem.as_found, problem.values
    )


def test_every_fault_of_the_content_can_be_drawn():
    assert set(faults.load()) == set(stubble.FAULTS)


@pytest.mark.parametrize(
    ("fault", "trait"),
    [
        ("too_fast", "ragged"),
        ("cut_high", "height"),
        ("flex_stiff", "wave"),
        ("one_end_high", "tilt"),
        ("section_missing", "strip"),
        ("ends_down", "ends"),
        ("bar_digs", "soil"),
    ],
)
def test_a_fault_raises_its_own_trait_by_more_than_an_eye_can_miss(one, fault, trait):
    plain, seen = stubble.FAULTS["none"](one), stubble.FAULTS[fault](one)
    more = getattr(seen, trait) - getattr(plain, trait)
    assert more > faults.visible()[trait]


def test_no_fault_is_not_apart_from_itself(one):
    seen = stubble.FAULTS["none"](one)
    assert stubble.steps_between(seen, seen) == 0


def test_steps_by_hand(one):
    # 2 visible steps in height and 1.5 in wave: sqrt(4 + 2.25) = 2.5
    step, seen = faults.visible(), stubble.FAULTS["none"](one)
    other = replace(
        seen,
        height=seen.height + 2 * step["height"],
        wave=seen.wave + 1.5 * step["wave"],
    )
    assert stubble.steps_between(seen, other) == pytest.approx(2.5)


@pytest.mark.parametrize("fault", sorted(stubble.FAULTS))
def test_a_trace_shows_the_traits_it_was_given(one, fault):
    seen = stubble.FAULTS[fault](one)
    drawn = stubble.trace(seen, Dice("trace", fault))
    places = stubble.PLACES
    assert len(drawn.heights) == places
    assert sum(drawn.ragged) == round(float(seen.ragged) * places)
    assert sum(drawn.soil) == round(float(seen.soil) * places)
    assert any(drawn.standing) == bool(seen.strip or seen.ends)
    if min(drawn.heights) > 0:  # nothing was cut off at the ground
        mean = sum(drawn.heights) / places
        assert mean == pytest.approx(float(seen.height), abs=1e-3)


def test_the_same_luck_draws_the_same_stubble(one):
    seen = stubble.FAULTS["too_fast"](one)
    assert stubble.trace(seen, Dice(1)) == stubble.trace(seen, Dice(1))
    assert stubble.trace(seen, Dice(1)) != stubble.trace(seen, Dice(2))


def test_two_faults_that_look_alike_are_never_asked_together(one):
    # A fault beside itself under another name: no step lies between them.
    assert stubble.flips("none", ["none", "too_fast"], one, one.values) == 0
    twin = dict(stubble.FAULTS) | {"twin": stubble.FAULTS["none"]}
    original = stubble.FAULTS
    try:
        stubble.FAULTS = twin
        assert stubble.flips("none", ["none", "twin"], one, one.values) is None
    finally:
        stubble.FAULTS = original
