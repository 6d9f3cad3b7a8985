"""Draws that depend on their names only, and favour nothing."""

from collections import Counter
from math import sqrt

import pytest

from academy.catalog.families import Grid
from academy.scenarios.dice import Dice

GRID = Grid(low=9.0, high=10.5, step=0.5, unit="%")


def stream(*names: object) -> list[int]:
    dice = Dice(*names)
    return [dice.below(1000) for _ in range(20)]


def test_the_same_names_throw_the_same():
    assert stream("field", 1, 7, 0) == stream("field", 1, 7, 0)


@pytest.mark.parametrize(
    "other",
    [("field", 1, 7, 1), ("field", 1, 8, 0), ("field", 2, 7, 0), ("x", 1, 7, 0)],
)
def test_another_name_throws_something_else(other):
    assert stream(*other) != stream("field", 1, 7, 0)


def test_one_stream_does_not_disturb_another():
    first, second = Dice("a"), Dice("b")
    mixed = []
    for _ in range(20):
        mixed.append(first.below(1000))
        second.below(1000)
    assert mixed == stream("a")


def test_every_side_of_a_die_comes_equally_often():
    # 6000 throws, 1000 a side; spread sqrt(6000 * 1/6 * 5/6) = 28.9; five spreads
    dice = Dice("fair")
    seen = Counter(dice.below(6) for _ in range(6000))
    assert sorted(seen) == [0, 1, 2, 3, 4, 5]
    assert all(abs(n - 1000) < 5 * sqrt(6000 * 5 / 36) for n in seen.values())


def test_a_grid_gives_its_own_values_with_both_ends():
    dice = Dice("grid")
    assert {dice.on(GRID) for _ in range(200)} == {9.0, 9.5, 10.0, 10.5}
    assert GRID.size == 4


def test_one_of_gives_every_thing():
    dice = Dice("things")
    assert {dice.one_of("abc") for _ in range(100)} == {"a", "b", "c"}


def test_a_shuffle_keeps_every_thing_and_leaves_the_list_alone():
    listed = list("abcdefgh")
    assert sorted(Dice("s").shuffled(listed)) == listed == list("abcdefgh")


def test_every_order_of_three_comes_equally_often():
    # 6 orders, 6000 shuffles: the same spread as a die
    dice = Dice("orders")
    seen = Counter("".join(dice.shuffled("abc")) for _ in range(6000))
    assert len(seen) == 6
    assert all(abs(n - 1000) < 5 * sqrt(6000 * 5 / 36) for n in seen.values())
