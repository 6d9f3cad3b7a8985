"""Wings over drawn ground: working ones keep the height, stiff ones do not follow."""

from dataclasses import replace

import pytest

from academy.catalog import headers, parts
from academy.scenarios import conditions
from academy.scenarios.reel_across import PIECES, reel_across
from academy.scenarios.winged import over_ground, sections, winged

FACTS = {"crop": "soybean", "header": "flex40", "combine": "middle"}
FACTS |= {"ground": "ordinary"}
IN_ORDER = parts.load("wings").in_order


def made(key, **changed):
    facts = FACTS | {"header": key}
    return winged(facts, conditions.as_found(facts), replace(IN_ORDER, **changed))


@pytest.mark.parametrize("key", headers.known())
def test_working_wings_keep_the_height_that_is_set_all_along(key):
    here = made(key)
    over = over_ground(here)
    heights = [k - g for k, g in zip(over.knife, over.ground, strict=True)]
    assert heights == pytest.approx([float(here.settings.cut_height)] * len(heights))
    assert all(over.touching)
    assert not any(over.pushing)


@pytest.mark.parametrize("key", headers.known())
def test_a_stiff_wing_goes_level_unless_the_ground_lifts_its_knife(key):
    here = made(key, left_wing="service")
    over = over_ground(here)
    cut = float(here.settings.cut_height)
    wing = slice(*over.starts[:2])
    knife, ground = over.knife[wing], over.ground[wing]
    assert knife == pytest.approx([max(cut, g) for g in ground])
    assert not all(over.touching[wing])
    assert sections(here)[0].travel == 0.0


def test_thirds_of_the_reel_add_up_to_its_strips():
    facts = FACTS | {"crop": "canola"}
    state = replace(parts.load("reel_sections").in_order, left_arm=0.1)
    found = reel_across(facts, conditions.as_found(facts), state)
    for piece in PIECES:
        strips = found.pieces[piece]
        thirds = [third.pieces[piece] for third in found.thirds]
        assert sum(thirds) / 3 == pytest.approx(sum(strips) / len(strips))
    assert found.axle[0] == pytest.approx(found.axle[-1] + 0.1)
