"""The safety gate: no average hides a miss."""

from itertools import product

import pytest

from academy.catalog import assessment
from academy.catalog.assessment import Gate
from academy.competence.safety_gate import clear_chance, state

GATE = assessment.gate()
TEN_AND_SIX = Gate(10, 6)
RIGHT, MISS = True, False


def test_all_right_is_through():
    assert state([RIGHT] * GATE.questions, [], GATE) == "clear"


def test_one_miss_is_corrected_and_then_proven():
    first = [RIGHT] * 4 + [MISS] + [RIGHT] * (GATE.questions - 5)
    assert state(first, [], GATE) == "correct"
    assert state(first, [RIGHT] * (GATE.fresh - 1), GATE) == "correct"
    assert state(first, [RIGHT] * GATE.fresh, GATE) == "clear"
    assert state(first, [RIGHT, MISS], GATE) == "closed"


def test_two_misses_close_it_at_once():
    assert state([MISS, MISS], [], GATE) == "closed"


def test_an_unfinished_gate_is_open():
    assert state([], [], GATE) == "open"
    assert state([MISS] + [RIGHT] * (GATE.questions - 2), [], GATE) == "open"


@pytest.mark.parametrize(
    ("safe", "wanted"),
    [
        (0.5, 0.001129),
        (0.6, 0.007927),
        (0.7, 0.04249),
        (0.8, 0.177743),
        (0.9, 0.55457),
        (0.95, 0.830383),
        (0.98, 0.964787),
        (0.99, 0.990388),
    ],
)
def test_chances_of_the_double_plan(safe, wanted):
    """p**10 + 10 p**9 (1 - p) p**6, the exact law of a double sampling plan.

    At 0.5: 1/1024 + 10/1024 / 64 = 0.00112915.
    """
    assert clear_chance(safe, TEN_AND_SIX) == pytest.approx(wanted, abs=1e-6)


def test_the_chance_is_the_sum_over_every_course():
    small, safe, total = Gate(3, 2), 0.7, 0.0
    for answers in product([RIGHT, MISS], repeat=5):
        first, fresh = answers[:3], answers[3:]
        weight = 1.0
        for right in answers:
            weight *= safe if right else 1 - safe
        total += weight if state(first, fresh, small) == "clear" else 0.0
    # somebody through at once is through whatever the fresh ones would have been
    assert clear_chance(safe, small) == pytest.approx(total)
