"""The mats along the belts in a reader's own words and units."""

from dataclasses import replace
from xml.etree import ElementTree

import pytest

from academy.catalog import crops, headers, parts
from academy.language import Reader
from academy.scenarios import conditions
from academy.service.flow_explained import Flowing, flow_picture

FACTS = {"crop": "soybean", "header": "flex40", "combine": "middle", "ground": "smooth"}
READERS = [Reader(lang, system) for lang in ("en", "es") for system in ("us", "metric")]
ENGLISH = READERS[1]


def met(**changed):
    settings = conditions.as_found(FACTS)
    put = {k: v for k, v in changed.items() if hasattr(settings, k)}
    found = {k: v for k, v in changed.items() if k not in put}
    state = replace(parts.load("flow").in_order, **found)
    return Flowing(replace(settings, **put), state)


def told(**changed):
    rows = flow_picture(FACTS, met(**changed), ENGLISH).table.rows
    return {row[0]: row[1:] for row in rows}


@pytest.mark.parametrize("reader", READERS)
def test_the_mats_are_told_in_the_readers_words_and_units(reader):
    shown = flow_picture(FACTS, met(), reader)
    assert (
        shown.table.head
        == {
            "en": ("Measure", "left belt", "right belt", "both"),
            "es": ("Medida", "lona izquierda", "lona derecha", "las dos"),
        }[reader.language]
    )
    # the opening of 60 in, 1.524 m
    wide = {"us": {"en": "5.0 ft", "es": "5.0 pies"}}.get(
        reader.units, {"en": "1.52 m", "es": "1.52 m"}
    )
    assert wide[reader.language] in shown.svg
    assert "{" not in shown.svg + shown.description
    for row in shown.table.rows:
        assert all(value in shown.description for value in row if value != "–")
    ElementTree.fromstring(shown.svg)  # noqa: S314


@pytest.mark.parametrize("header", headers.known())
@pytest.mark.parametrize("crop", crops.known())
def test_in_order_all_is_well_in_every_crop_on_every_header(crop, header):
    facts = FACTS | {"crop": crop, "header": header}
    flowing = Flowing(conditions.as_found(facts))
    rows = {r[0]: r[1:] for r in flow_picture(facts, flowing, ENGLISH).table.rows}
    assert rows["slip"] == ("does not slip", "does not slip", "–")
    assert rows["drum fingers"][2] == "suit this crop"
    assert rows["feed drum"][2] == "clears what comes"
    assert rows["clutch of the drum"][2] == "holds"
    assert rows["crop that crosses over"][2] == "0.0 %"


def test_each_state_is_told_by_word():
    loose = told(left_front_tension=0.16, left_rear_tension=0.16)
    assert loose["slip"][0].startswith("slips by")
    assert loose["tension"][:2] == ("slacker than the marks", "between the marks")
    assert told(left_front_tension=0.0, left_rear_tension=0.0)["slip"][0] == (
        "stands still"
    )
    uneven = told(right_front_tension=1.7, right_rear_tension=0.7)
    assert uneven["how the belt runs"][1] == "runs off to the rear"
    assert told(drum_rate=22.0)["feed drum"][2] == "faster than this crop needs"
    assert told(ground_speed=3.1)["feed drum"][2] == "slower than this mass needs"
    assert told(finger_timing=1.0)["drum fingers"][2].startswith("draw back too late")
    assert told(finger_timing=-1.0)["drum fingers"][2].startswith("draw back too early")
    assert told(clutch_setting=0.3)["clutch of the drum"][2] == "slips"
    plugged = {"ground_speed": 3.1, "belt_speed": 1.5, "clutch_setting": 2.0}
    assert told(**plugged)["clutch of the drum"][2].startswith("set so tight")


def test_a_part_width_pass_on_a_fast_belt_shows_the_crossing():
    shown = flow_picture(FACTS, met(left_crop=0.2, belt_speed=4.0), ENGLISH)
    rows = {row[0]: row[1:] for row in shown.table.rows}
    assert rows["crop that crosses over"][2] != "0.0 %"
    assert "lands past the middle" in shown.svg
    assert "already cut" in shown.svg
