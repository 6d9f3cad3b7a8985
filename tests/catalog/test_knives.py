"""Kinds of knife: measures in SI, sections a stroke, unknown ones refused."""

import pytest

from academy.catalog import knives
from academy.errors import NotFound


def test_measures_come_in_metres():
    # 3 in = 76.2 mm
    knife = knives.knife(knives.of("standard"))
    assert knife.pitch == pytest.approx(0.0762)
    assert (knife.tip, knife.edge, knife.ledger) == pytest.approx((0.016, 0.052, 0.022))


def test_half_pitch_sections_pass_two_guards_a_stroke():
    half, standard = (knives.knife(knives.of(k)) for k in ("half-pitch", "standard"))
    assert half.stroke == standard.stroke
    assert (half.sections, standard.sections) == (2, 1)


def test_measures_recalled_or_judged_state_a_range_unless_they_are_the_trades_own():
    for kind in knives.load().values():
        for name, entry in kind.figures():
            if name not in ("pitch", "stroke"):
                assert entry.low < entry.value < entry.high


def test_a_uniform_knife_has_one_edge_and_an_alternating_one_two_in_turn():
    kinds = knives.all_kinds()
    assert {key for key, knife in kinds.items() if knife.uniform} == {
        "standard",
        "half-pitch",
    }
    assert kinds["alternating"].edges == pytest.approx((0.052, 0.038))
    assert kinds["alternating"].edge == kinds["standard"].edge


def test_an_unknown_knife_is_not_found():
    with pytest.raises(NotFound, match="no_such_knife"):
        knives.of("serrated")
