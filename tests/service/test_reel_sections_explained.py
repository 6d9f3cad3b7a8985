"""A reel out of step in a reader's words, on every header."""

from dataclasses import replace
from xml.etree import ElementTree

import pytest

from academy.catalog import headers, parts
from academy.language import Reader
from academy.scenarios import conditions
from academy.service.reel_sections_explained import reel_sections_picture

FACTS = {"crop": "soybean", "header": "flex40", "combine": "middle"}
FACTS |= {"ground": "ordinary"}
EN, ES = Reader("en", "us"), Reader("es", "metric")
IN_STEP = parts.load("reel_sections").in_order
INCH = 0.0254


def shown(state, reader=EN, **changed):
    facts = FACTS | changed
    return reel_sections_picture(facts, conditions.as_found(facts), state, reader)


@pytest.mark.parametrize("key", headers.known())
@pytest.mark.parametrize("reader", [EN, ES])
def test_every_header_is_drawn_in_the_readers_words(key, reader):
    made = shown(replace(IN_STEP, left_arm=2 * INCH), reader, header=key)
    ElementTree.fromstring(made.svg)  # noqa: S314
    third = {"en": "left third", "es": "tercio izquierdo"}[reader.language]
    assert made.table.head[1] == third
    assert all(cell in made.description for row in made.table.rows for cell in row)
    assert "{times}" not in made.svg


def test_a_reel_in_step_is_the_same_in_every_third():
    for row in shown(IN_STEP).table.rows:
        assert len(set(row[1:])) == 1


def test_a_low_centre_of_three_parts_shows_in_the_middle():
    # The inner arms stand at the thirds, so the whole middle third is 3 in low.
    rows = {
        row[0]: row[1:]
        for row in shown(replace(IN_STEP, centre_arm=-3 * INCH)).table.rows
    }
    offset = rows["axle over what is set, mean"]
    assert offset[1] == "-3.0 in"
    assert offset[0] == offset[2]
    gap = [float(each.split()[0]) for each in rows["least gap to the raised bar"]]
    assert gap[1] < gap[0]


def test_one_part_has_no_centre_arm_to_sink():
    flat = shown(IN_STEP, header="flex35")
    assert shown(replace(IN_STEP, centre_arm=-0.1), header="flex35").svg == flat.svg
