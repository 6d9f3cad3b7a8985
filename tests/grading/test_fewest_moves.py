"""The nearest right order: worked by hand, and beside every order there is."""

import random
from itertools import combinations, permutations

import pytest

from academy.grading.fewest_moves import fewest_moved, kept_steps
from academy.grading.ordering import reversed_pairs

CHAIN = tuple(combinations("abcde", 2))


def moved(order, other) -> int:
    """Steps that must be lifted out: all but the longest part in the same order."""
    place = {step: index for index, step in enumerate(other)}
    ranks = [place[step] for step in order]
    longest = [1] * len(ranks)
    for end, rank in enumerate(ranks):
        before = [longest[i] for i in range(end) if ranks[i] < rank]
        longest[end] = 1 + max(before, default=0)
    return len(ranks) - max(longest)


@pytest.mark.parametrize(
    ("order", "pairs", "nearest"),
    [
        ("eabcd", CHAIN, "abcde"),  # only e moves, though it jumps over four
        ("abced", CHAIN, "abcde"),
        ("bcdea", CHAIN, "abcde"),
        ("edcba", CHAIN, "abcde"),
        # x is bound to nothing and keeps its place between b and c
        ("bxca", (("a", "b"), ("a", "c"), ("b", "c")), "abxc"),
        ("cab", (("a", "b"),), "cab"),  # right already
    ],
)
def test_nearest_order_by_hand(order, pairs, nearest):
    assert "".join(fewest_moved(order, pairs)) == nearest


def test_what_is_kept_by_hand():
    assert kept_steps("eabcd", CHAIN) == list("abcd")
    assert kept_steps("badce", CHAIN) == list("bde")  # of equal parts the earlier


@pytest.mark.parametrize("trial", range(60))
def test_no_right_order_moves_fewer_steps(trial):
    rng = random.Random(trial)  # noqa: S311
    size = 3 + trial % 4
    hidden = rng.sample("abcdef"[:size], size)
    pairs = {p for p in combinations(hidden, 2) if rng.random() < 0.4}
    for middle in hidden:  # every transitive pair too
        pairs |= {(a, d) for a, b in pairs for c, d in pairs if b == c == middle}
    order = rng.sample(hidden, size)
    right = [p for p in permutations(order) if not reversed_pairs(p, pairs)]
    nearest = fewest_moved(order, pairs)
    assert not reversed_pairs(nearest, pairs)
    assert moved(order, nearest) == min(moved(order, p) for p in right)
    assert moved(order, nearest) == size - len(kept_steps(order, pairs))
