"""A picture for every kind of knife, in a reader's own words and units."""

from dataclasses import replace
from xml.etree import ElementTree

import pytest

from academy.catalog import headers, knives, parts
from academy.engine.cutting_diagram import diagram
from academy.errors import NotFound, OutOfRange
from academy.language import Reader
from academy.scenarios import conditions
from academy.service.cutting_explained import knife_of
from academy.service.knife_kinds_explained import (
    Pace,
    knife_kind_picture,
    knife_kind_pictures,
)

FACTS = {"crop": "soybean", "header": "flex35", "combine": "middle", "ground": "smooth"}
AT_WORK = conditions.as_found(FACTS)
READERS = [Reader(lang, system) for lang in ("en", "es") for system in ("us", "metric")]
EN = READERS[1]


@pytest.mark.parametrize("reader", READERS)
def test_every_kind_has_its_picture_under_its_own_name(reader):
    shown = knife_kind_pictures(FACTS, Pace(AT_WORK), reader)
    assert len(shown) == len(knives.load())
    for kind, each in zip(knives.load().values(), shown, strict=True):
        assert kind.name.for_language(reader.language) in each.title
        assert "{kind}" not in each.svg
        ElementTree.fromstring(each.svg)  # noqa: S314
        assert all(
            value in each.description for row in each.table.rows for value in row
        )
    assert len({each.svg for each in shown}) == len(shown)


def shares(shown):
    """Once, bunched and recut as printed, in per cent."""
    return [float(row[1].removesuffix("%").strip()) for row in shown.table.rows[:3]]


def test_its_shares_add_up_and_are_those_of_the_diagram():
    rate = conditions.machine_of(FACTS).stroke_rate
    for key, knife in knives.all_kinds().items():
        shown = knife_kind_picture(FACTS, Pace(AT_WORK), key, EN, "k")
        once, bunched, recut = shares(shown)
        assert once + bunched + recut == pytest.approx(100.0, abs=0.16)
        made = diagram(knife, AT_WORK.ground_speed / rate)
        assert bunched == pytest.approx(100 * made.bunched, abs=0.051)


def test_a_slipping_drive_and_a_shifted_knife_are_drawn_as_found():
    slow = replace(parts.load("knife").in_order, stroke_share=0.6)
    shifted = replace(parts.load("knife").in_order, register=0.008)
    plain, slipping, out = (
        knife_kind_picture(FACTS, Pace(AT_WORK, found), "standard", EN, "k")
        for found in (None, slow, shifted)
    )
    assert shares(slipping)[1] > shares(plain)[1]
    assert out.svg != plain.svg


def test_every_header_carries_one_of_the_kinds():
    for key in headers.known():
        assert knife_of(headers.load(key)) in knives.all_kinds().values()


def test_an_unknown_kind_and_a_standing_machine_are_refused():
    with pytest.raises(NotFound):
        knife_kind_picture(FACTS, Pace(AT_WORK), "serrated", EN, "k")
    with pytest.raises(OutOfRange):
        knife_kind_pictures(FACTS, Pace(replace(AT_WORK, ground_speed=0.0)), EN)
