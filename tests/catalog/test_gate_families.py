"""The gate's families: ten hazards, hard to guess, every rule known from somewhere."""

from math import prod

import pytest

from academy.catalog import families, gate, procedures, situations
from academy.catalog.families import Asked, Family
from academy.grading.par import chance_floor_of_order
from academy.scenarios.draw import fact_sets
from academy.scenarios.order import critical

# as the safety gate is meant to be: ten critical concepts (assessment model, 2.3)
CONCEPTS = {
    "safe-stop",
    "people-clear",
    "raised-header",
    "stored-energy",
    "unplugging",
    "knife-by-hand",
    "power-lines",
    "fire",
    "slopes",
    "fatigue-alone",
}
FAMILIES = {key: one for key, one in families.known().items() if one.gate}
every_family = pytest.mark.parametrize("family", FAMILIES.values(), ids=FAMILIES)


def _luck(part: Asked) -> float:
    """How likely a coin, or a shuffle, gets the part right for the gate.

    An order is right when no critical pair is turned round. Counted with the critical
    pairs only: what a shuffle of them scores is at least how often it turns none round.
    """
    if part.kind == "go-or-stop":
        return 1 / len(situations.CALLS)
    fatal = tuple(critical(procedures.known()[part.procedure]))
    assert fatal
    return chance_floor_of_order(fatal, fatal)


def test_ten_concepts_each_have_a_family_of_their_own() -> None:
    assert set(gate.concepts()) == CONCEPTS
    for key, concept in gate.concepts().items():
        assert concept.families
        assert all(FAMILIES[name].gate == key for name in concept.families)
    named = [name for one in gate.concepts().values() for name in one.families]
    assert sorted(named) == sorted(FAMILIES)


@every_family
def test_a_concept_is_asked_by_two_or_three_calls_or_orders(family: Family) -> None:
    assert 2 <= len(family.parts) <= 3
    asked = [part.situation or part.procedure for part in family.parts]
    assert len(set(asked)) == len(asked)
    assert {part.kind for part in family.parts} <= {"go-or-stop", "order"}


@every_family
def test_luck_passes_a_concept_once_in_four_at_most(family: Family) -> None:
    assert prod(map(_luck, family.parts)) <= 1 / 4


@every_family
def test_nobody_meets_the_same_facts_twice(family: Family) -> None:
    assert fact_sets(family) >= 10_000


@every_family
def test_every_rule_was_read_or_is_common_practice(family: Family) -> None:
    for part in family.parts:
        if part.kind == "go-or-stop":
            cases = situations.load(part.situation).cases
            known = {case.evidence for case in cases}
        else:
            pairs = procedures.known()[part.procedure].precedences
            known = {pair.evidence for pair in pairs if pair.critical}
        assert known <= {"published", "practice"}


def test_what_the_gate_asks_is_not_practised() -> None:
    assert not set(FAMILIES) & set(families.practised())
    assert set(FAMILIES) | set(families.practised()) == set(families.known())
    assert not any(one.assesses for one in FAMILIES.values())


def test_luck_of_one_critical_pair_is_a_thrown_coin() -> None:
    # two steps, one pair: half of all orders have it right
    fire = next(part for part in FAMILIES["gate-fire"].parts if part.kind == "order")
    assert _luck(fire) == pytest.approx(1 / 2)
