"""Where is the grain lost: neither length nor place in the list tells the answer."""

import json
from collections import Counter
from functools import cache

import pytest

from academy.language import Reader
from academy.scenarios.draw import draw
from academy.service import find_leak, making

FAMILY = "find-the-leak-soybean"
READERS = [Reader("en", "us"), Reader("es", "metric")]


@cache
def drawn():
    return [json.loads(making.make(FAMILY, seed).payload) for seed in range(24)]


@pytest.mark.parametrize("reader", READERS, ids=["en", "es"])
def test_all_places_are_named_in_as_many_letters(reader):
    part, facts = drawn()[0]["parts"][0], drawn()[0]["facts"]
    options = find_leak.asked(part, facts, reader)["options"]
    assert len({len(text) for _, text in options}) == 1
    assert {key for key, _ in options} == set(find_leak.PLACES)


def test_every_place_stands_first_now_and_then():
    # four places, 24 draws: 6 each by law, none at all with a chance of 4 (3/4)^24
    first = Counter(each["parts"][0]["shown"][0] for each in drawn())
    assert set(first) == set(find_leak.PLACES)


def test_the_same_facts_show_the_same_order_for_ever():
    again = json.loads(making.make(FAMILY, 3).payload)
    assert again == drawn()[3]
    assert again["facts"] == draw(FAMILY, making.family(FAMILY), 3, again["substream"])


def test_a_part_of_old_is_shown_in_the_listed_order():
    part = {k: v for k, v in drawn()[0]["parts"][0].items() if k != "shown"}
    options = find_leak.asked(part, drawn()[0]["facts"], READERS[0])["options"]
    assert [key for key, _ in options] == list(find_leak.PLACES)
