"""Dividers in a reader's words: a direction only where it is clear."""

from dataclasses import replace

import pytest

from academy.catalog import crops, stands
from academy.language import Reader
from academy.service.ends_explained import ends_table, ends_told

FACTS = {"crop": "soybean", "header": "flex40", "combine": "middle"}
FACTS |= {"ground": "ordinary"}
EN, ES = Reader("en", "us"), Reader("es", "metric")


@pytest.mark.parametrize("crop", crops.known())
@pytest.mark.parametrize("reader", [EN, ES])
def test_what_suits_loses_as_little_as_the_better_kind(crop, reader):
    table = ends_table(FACTS | {"crop": crop}, stands.stand_of(crop), reader)
    suited, short, long = (float(row[2].split()[0]) for row in table.rows)
    assert suited == min(short, long)


def test_only_clear_conditions_get_a_direction():
    usual = stands.stand_of("soybean")
    tangled = replace(usual, tangling=0.9)
    assert "no clear difference" in ends_told(FACTS, usual, EN)[0]
    assert "long dividers" in ends_told(FACTS, tangled, EN)[0]
    low = FACTS | {"crop_height": [25.0, "cm"]}
    assert "short dividers" in ends_told(low, usual, EN)[0]


def test_the_ends_are_to_be_seen_by_night():
    said = ends_told(FACTS, stands.stand_of("soybean"), ES)
    assert any("De noche" in each for each in said)
