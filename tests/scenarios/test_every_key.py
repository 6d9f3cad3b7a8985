"""No option that one may always discard: each of them is right in some scenario.

Law: an option that is never the key carries no chance, and one who knows that guesses
among fewer. What the engine cannot say with certainty is not offered.
"""

import pytest

from academy.catalog.families import known
from academy.scenarios.draw import draw
from academy.service import find_leak, one_change

MOST = 900  # draws of the facts, most of them refused by the verdict
PARTS = [
    (key, place, part)
    for key, family in known().items()
    for place, part in enumerate(family.parts, start=1)
    if part.kind == "one-change"
]
LEAKS = [
    key
    for key, family in known().items()
    if any(part.kind == "find-the-leak" for part in family.parts)
]


@pytest.mark.long
@pytest.mark.parametrize(
    ("key", "place", "part"), PARTS, ids=[f"{key}-{place}" for key, place, _ in PARTS]
)
def test_every_change_is_the_key_at_times(key, place, part):
    wanted = set(part.changes)
    for seed in range(MOST):
        made = one_change.made(part, draw(key, known()[key], seed), place)
        wanted -= {made.key["key"]} if made else set()
        if not wanted:
            break
    assert not wanted


@pytest.mark.parametrize("key", LEAKS)
def test_it_leaks_at_every_place_at_times(key):
    family = known()[key]
    place, part = next(
        (at, one)
        for at, one in enumerate(family.parts, start=1)
        if one.kind == "find-the-leak"
    )
    drawn = [
        find_leak.made(part, draw(key, family, seed), place) for seed in range(160)
    ]
    found = [made.key["key"] for made in drawn if made]
    assert set(found) == set(find_leak.PLACES)
    for each in find_leak.PLACES:
        assert found.count(each) >= 0.02 * len(found), each


def test_what_holds_sometimes_holds_all_together():
    # one draw of two and twice as many besides: a quarter when there is one such case
    family = known()["find-the-leak-wheat"]
    (case,) = family.sometimes
    names = {"before_count": "counted.before_count"} | {
        name: f"as_found.{name}" for name in family.as_found
    }
    within = sum(
        all(
            grid.low <= draw_of[names.get(name, name)][0] <= grid.high
            for name, grid in case.items()
        )
        for draw_of in (draw("find-the-leak-wheat", family, s) for s in range(200))
    )
    assert 30 <= within <= 70  # 50 expected, standard deviation 6
