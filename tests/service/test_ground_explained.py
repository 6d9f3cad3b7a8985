"""The bar over the ground in a reader's own words and units."""

from dataclasses import replace
from xml.etree import ElementTree

import pytest

from academy import units
from academy.catalog import headers
from academy.language import Reader
from academy.scenarios import conditions
from academy.scenarios.following import Hanging
from academy.service import ground_explained
from academy.service.ground_explained import Ground, ground_picture

FACTS = {"crop": "soybean", "header": "flex35", "combine": "middle", "ground": "rough"}
READERS = [Reader(lang, system) for lang in ("en", "es") for system in ("us", "metric")]


def met(hung=None, **changed):
    return Ground(conditions.as_found(FACTS | changed), hung or Hanging())


@pytest.mark.parametrize("reader", READERS)
def test_the_picture_is_told_in_the_readers_words_and_units(reader):
    shown = ground_picture(FACTS, met(), reader)
    head = {
        "en": ("Measure", "left wing", "centre", "right wing"),
        "es": ("Medida", "ala izquierda", "centro", "ala derecha"),
    }[reader.language]
    assert shown.table.head == head
    units_of = {"us": {"en": "in", "es": "pulg"}, "metric": {"en": "mm", "es": "mm"}}
    assert shown.table.rows[0][1].endswith(units_of[reader.units][reader.language])
    # 35 ft are 10.67 m, told to the decimetre
    width = {"us": {"en": "35.0 ft", "es": "35.0 pies"}}.get(
        reader.units, {"en": "10.7 m", "es": "10.7 m"}
    )
    assert width[reader.language] in shown.svg
    assert all(value in shown.description for row in shown.table.rows for value in row)
    assert "{times}" not in shown.svg
    ElementTree.fromstring(shown.svg)  # noqa: S314


@pytest.mark.parametrize("key", headers.known())
@pytest.mark.parametrize("carried", ["ground", "wheels", "sensing"])
def test_every_header_can_be_drawn_as_it_is_carried(key, carried):
    facts = FACTS | {"header": key, "carried": carried}
    shown = ground_picture(facts, met(header=key, carried=carried), READERS[0])
    weights = dict(zip(shown.table.head, shown.table.rows[3], strict=True))
    if carried != "ground":
        assert weights["centre"] == "0 lb/ft"
    else:
        assert weights["centre"] != "0 lb/ft"


def test_a_heavy_wing_shows_on_its_own_side():
    hung = Hanging(float_force=(100.0, 100.0, 300.0))
    rows = {
        row[0]: row[1:]
        for row in ground_picture(FACTS, met(hung), READERS[1]).table.rows
    }
    left, centre, right = (
        float(text.split()[0]) for text in rows["weight on the ground, mean"]
    )
    # each with its own float force; travel ends on rough ground move it a little
    assert left == pytest.approx(100.0, rel=0.1)
    assert centre == pytest.approx(100.0, rel=0.1)
    assert right == pytest.approx(300.0, rel=0.1)


def test_shares_are_of_the_whole_stretch_and_so_repeatable():
    once, again = (ground_picture(FACTS, met(), READERS[0]).svg for _ in range(2))
    assert once == again
    other = replace(met(), seed=2)
    assert ground_picture(FACTS, other, READERS[0]).svg != once


def test_faster_and_lighter_the_bar_leaves_the_ground():
    slow = met(Hanging(float_force=(50.0,) * 3))
    fast = replace(
        slow, settings=replace(slow.settings, ground_speed=units.to_si(6.5, "mph"))
    )
    slow_made, fast_made = (
        ground_explained.following_of(FACTS, each) for each in (slow, fast)
    )
    assert fast_made.of().off_ground > slow_made.of().off_ground
