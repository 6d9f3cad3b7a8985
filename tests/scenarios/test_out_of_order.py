"""Drawn faults: moderate, legal, of the named part alone, the same for one seed."""

from dataclasses import fields

import pytest

from academy.catalog import headers, parts, stands, whole
from academy.scenarios.dice import Dice
from academy.scenarios.out_of_order import PARTS, drawn_state

FACTS = {"crop": "soybean", "header": "flex40"}
USUAL = whole.in_order("soybean", headers.load("flex40"))


@pytest.mark.parametrize("part", PARTS)
def test_figures_lie_up_to_half_way_to_their_ends(part: str) -> None:
    known, usual = parts.load(part), getattr(USUAL, part)
    for seed in range(20):
        found = getattr(drawn_state(FACTS, (part,), Dice(seed)), part)
        for name, figure in known.state.items():
            value, middle = getattr(found, name), getattr(usual, name)
            low, _, high = figure.si()
            assert (low + middle) / 2.0 <= value <= (middle + high) / 2.0, name
        for name, choice in known.choices.items():
            assert getattr(found, name) in choice.kinds


def test_every_kind_is_found_but_the_header_is_at_work() -> None:
    seen: dict[str, set[str]] = {}
    for seed in range(60):
        found = drawn_state(FACTS, PARTS, Dice("kinds", seed))
        for part in PARTS:
            for name in parts.load(part).choices:
                value = getattr(getattr(found, part), name)
                seen.setdefault(name, set()).add(value)
    assert seen.pop("task") == {"cutting"}
    for part in PARTS:
        for name, choice in parts.load(part).choices.items():
            assert seen.get(name, set(choice.kinds)) == set(choice.kinds), name


@pytest.mark.parametrize("part", PARTS)
def test_the_other_parts_are_as_they_should_be(part: str) -> None:
    found = drawn_state(FACTS, (part,), Dice(part))
    for other in PARTS:
        if other != part:
            assert getattr(found, other) == getattr(USUAL, other)
    least, greatest = stands.ends("soybean")
    for field in fields(found.stand):
        low, value, high = (
            getattr(one, field.name) for one in (least, found.stand, greatest)
        )
        assert low <= value <= high
    assert found.stand != USUAL.stand


def test_the_same_dice_find_the_same() -> None:
    once, again, other = (drawn_state(FACTS, PARTS, Dice(seed)) for seed in (1, 1, 2))
    assert once == again != other


def test_a_number_between_two_ends() -> None:
    dice = Dice("between")
    drawn = [dice.between(2.0, 4.0) for _ in range(200)]
    assert 2.0 <= min(drawn) < 2.1
    assert 3.9 < max(drawn) <= 4.0
    assert dice.between(3.0, 3.0) == 3.0
