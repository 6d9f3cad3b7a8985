"""Orders of steps: pairs that matter, nearest right order, and what chance gives."""

import random
from itertools import combinations, permutations

import pytest

from academy.catalog import procedures
from academy.errors import NotUnderstood
from academy.grading.ordering import (
    mark_order,
    nearest_order,
    order_score,
    reversed_pairs,
    swaps,
)
from academy.grading.par import chance_floor_of_order
from academy.scenarios.order import critical, pairs

LETTERS = "abcdefghijkl"
FROM_MEMORY = {"rephase-series", "caught-or-injected"}  # no safety relation was read
CHAIN_OF_5 = tuple(combinations("abcde", 2))


def dice(seed: int) -> random.Random:
    return random.Random(seed)  # noqa: S311


def right(order, needed) -> bool:
    return not reversed_pairs(order, needed)


def some_precedences(size: int, seed: int) -> list[tuple[str, str]]:
    """Random precedences among the first letters, along a hidden order."""
    rng = dice(seed)
    hidden = list(LETTERS[:size])
    rng.shuffle(hidden)
    return [pair for pair in combinations(hidden, 2) if rng.random() < 0.3]


@pytest.mark.parametrize(
    ("order", "needed", "fewest"),
    [
        # kept check rows on the nearest linear extension; the problem is hard in
        # general: Brandenburg, Gleissner and Hofmeier 2013
        ("120", ["01"], 2),
        ("210", ["01", "12"], 3),
        ("3210", ["03"], 3),
    ],
)
def test_fewest_swaps_to_a_right_order(order, needed, fewest):
    nearest = nearest_order(order, [tuple(pair) for pair in needed])
    assert right(nearest, [tuple(pair) for pair in needed])
    assert swaps(order, nearest) == fewest


def test_fewest_swaps_of_twelve_steps():
    order = [str(step) for step in (5, 4, 3, 2, 1, 0, 8, 7, 6, 10, 9, 11)]
    chains = [(0, 1), (1, 2), (2, 3), (3, 4), (4, 5), (6, 7), (7, 8), (9, 10)]
    needed = [(str(a), str(b)) for a, b in chains]
    # by hand: a reversed chain of 6 takes 15 swaps, one of 3 takes 3, one of 2 takes 1
    assert swaps(order, nearest_order(order, needed)) == 15 + 3 + 1


@pytest.mark.parametrize("seed", range(60))
def test_no_right_order_is_nearer_by_trying_them_all(seed):
    size = 2 + seed % 5
    needed = some_precedences(size, seed)
    order = dice(seed + 1000).sample(LETTERS[:size], size)
    fewest = min(swaps(order, p) for p in permutations(order) if right(p, needed))
    nearest = nearest_order(order, needed)
    assert right(nearest, needed)
    assert swaps(order, nearest) == fewest


@pytest.mark.parametrize("seed", range(20))
def test_a_right_order_is_its_own_nearest(seed):
    needed = some_precedences(6, seed)
    order = nearest_order(LETTERS[:6], needed)
    assert nearest_order(order, needed) == order


@pytest.mark.parametrize(
    ("order", "score"),
    [
        ("abcde", 1.0),
        ("bacde", 0.8),  # one of ten pairs: 1 - 2/10
        ("cbade", 0.4),  # three of ten
        ("edcba", 0.0),  # all, and no less than nothing
    ],
)
def test_score_of_a_chain_of_five_by_hand(order, score):
    assert order_score(order, CHAIN_OF_5) == pytest.approx(score)


def test_pairs_that_do_not_matter_cost_nothing():
    assert order_score("cab", [("a", "b")]) == 1.0


def test_a_critical_pair_the_wrong_way_round_scores_nothing():
    mark = mark_order("bacde", CHAIN_OF_5, [("a", "b")])
    assert (mark.score, mark.reason, mark.critical_miss) == (0, "critical_pair", True)
    assert mark.detail["critical"] == [("a", "b")]
    mild = mark_order("bacde", CHAIN_OF_5, [("c", "d")])
    assert (mild.score, mild.reason, mild.critical_miss) == (0.8, "partly", False)


def test_a_step_given_twice_is_refused():
    with pytest.raises(NotUnderstood, match="steps_not_all_once"):
        mark_order("aacde", CHAIN_OF_5, [])


@pytest.mark.parametrize("key", sorted(procedures.known()))
def test_the_listed_order_of_a_procedure_is_full_and_its_reverse_is_worth_nothing(key):
    procedure = procedures.known()[key]
    listed = [step.key for step in procedure.steps]
    needed, fatal = pairs(procedure), critical(procedure)
    assert mark_order(listed, needed, fatal).score == 1
    worst = mark_order(listed[::-1], needed, fatal)
    assert worst.score == 0
    # what only memory says is taught and scored; alone it fails nobody
    assert worst.critical_miss == (key not in FROM_MEMORY)
    assert len(worst.detail["reversed"]) == len(needed)


@pytest.mark.parametrize(
    ("size", "floor"),
    [
        (2, 1 / 2),  # right or wrong
        (3, (1 + 2 * (1 / 3)) / 6),  # none reversed 1 of 6; one, 2 of 6; else below 0
        # orders of five by reversed pairs: 1, 4, 9, 15, 20, 22 ... (Mahonian numbers)
        (5, (1 + 4 * 0.8 + 9 * 0.6 + 15 * 0.4 + 20 * 0.2) / 120),
    ],
)
def test_chance_alone_in_a_chain_by_hand(size, floor):
    chain = tuple(combinations(LETTERS[:size], 2))
    assert chance_floor_of_order(chain) == pytest.approx(floor, abs=1e-12)


def test_chance_alone_in_a_chain_of_eight_by_hand():
    # Mahonian numbers of 8; a weight 1 - 2V/28 each
    counts = [1, 7, 27, 76, 174, 343, 602, 961, 1415, 1940, 2493, 3017, 3450, 3736]
    wanted = sum(n * (1 - v / 14) for v, n in enumerate(counts)) / 40_320
    chain = tuple(combinations(LETTERS[:8], 2))
    assert chance_floor_of_order(chain) == pytest.approx(wanted, abs=1e-12)


@pytest.mark.parametrize("seed", range(8))
def test_chance_alone_is_the_mean_mark_of_all_orders(seed):
    needed = some_precedences(6, seed)
    fatal = needed[:1]
    steps = sorted({step for pair in needed for step in pair})
    orders = list(permutations(steps))
    mean = sum(mark_order(o, needed, fatal).score for o in orders) / len(orders)
    floor = chance_floor_of_order(tuple(needed), tuple(fatal))
    assert floor == pytest.approx(mean, abs=1e-4)  # a mark has four decimals


@pytest.mark.parametrize("key", sorted(procedures.known()))
def test_chance_alone_in_a_procedure_by_throwing_dice(key):
    procedure = procedures.known()[key]
    needed, fatal = tuple(pairs(procedure)), tuple(critical(procedure))
    rng, order = dice(5), [step.key for step in procedure.steps]
    scores = []
    for _ in range(4000):
        rng.shuffle(order)
        safe = not reversed_pairs(order, fatal)
        scores.append(order_score(order, needed) if safe else 0.0)
    # a score in 0..1 of mean m spreads at most sqrt(m (1 - m)); four spreads
    floor = chance_floor_of_order(needed, fatal)
    allowed = 4 * (floor * (1 - floor) / 4000) ** 0.5
    assert sum(scores) / 4000 == pytest.approx(floor, abs=allowed)
