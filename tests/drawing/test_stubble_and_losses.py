"""The stubble across the width and the bands of loss: to scale, and told in words."""

from dataclasses import replace
from xml.etree import ElementTree

import pytest

from academy.drawing.loss_stack import StackView, loss_stack
from academy.drawing.stubble_across import StubbleView, stubble_across
from academy.errors import OutOfRange

SVG = "{http://www.w3.org/2000/svg}"
STUBBLE = dict.fromkeys(
    (
        "title",
        "description",
        "x",
        "y",
        "place",
        "mean",
        "range",
        "seen",
        "cut",
        "nothing",
    ),
    "w",
) | {
    name: name for name in ("ragged", "standing", "soil", "bunched", "pushed", "chaff")
}
STACK = dict.fromkeys(("title", "description", "x", "y", "total", "marked"), "w")


def view(places=48, **marks):
    flags = {name: [False] * places for name in ("ragged", "standing", "soil")}
    for name, where in marks.items():
        for place in where:
            flags[name][place] = True
    return StubbleView(width=40.0, heights=[2.0] * places, **flags)


def lines(drawn):
    root = ElementTree.fromstring(drawn.svg)  # noqa: S314 (our own text)
    return [
        (float(one.get("x1")), float(one.get("y1")), float(one.get("y2")))
        for one in root.iter(f"{SVG}line")
        if one.get("x1") == one.get("x2") and one.get("stroke-width") == "1.3"
    ]


def test_twice_the_stubble_is_twice_the_stem():
    low = StubbleView(
        40.0, [1.0] * 24 + [2.0] * 24, [False] * 48, [False] * 48, [False] * 48
    )
    stems = [y1 - y2 for _, y1, y2 in lines(stubble_across(low, STUBBLE))[:96]]
    assert stems[-1] == pytest.approx(2 * stems[0], abs=0.05)


def test_the_table_tells_every_mark_where_it_is():
    drawn = stubble_across(view(standing=[10], soil=[0, 1], ragged=[47]), STUBBLE)
    seen = [row[3] for row in drawn.rows]
    # twelve sections of four places: 10 is in the third, 0 and 1 in the first
    assert seen[0] == "soil (2/4)"
    assert seen[2] == "standing (1/4)"
    assert seen[11] == "ragged (1/4)"
    assert set(seen[3:11]) == {"w"}  # nothing else


def test_bunched_pushed_and_chaff_are_told_too():
    bare = view()
    seen = stubble_across(
        replace(
            bare,
            bunched=[place == 0 for place in range(48)],
            pushed=[place == 47 for place in range(48)],
            chaff=[0.25, 0.75],
        ),
        STUBBLE,
    )
    told = [row[3] for row in seen.rows]
    assert (told[0], told[11]) == ("bunched (1/4)", "pushed (1/4)")
    # chaff from a quarter to three quarters: the six middle sections of twelve
    assert [text == "chaff" for text in told] == [False] * 3 + [True] * 6 + [False] * 3
    all_over = stubble_across(replace(bare, chaff=[0.0, 1.0]), STUBBLE)
    assert {row[3] for row in all_over.rows} == {"w"}


def test_the_mean_is_of_what_was_cut():
    stubble = StubbleView(
        12.0,
        [2.0, 4.0, 9.0, 9.0] * 12,
        *([[False] * 48] * 1),
        [False, False, True, True] * 12,
        [False] * 48,
    )
    assert {row[1] for row in stubble_across(stubble, STUBBLE).rows} == {"3.0"}


def bands(drawn):
    root = ElementTree.fromstring(drawn.svg)  # noqa: S314 (our own text)
    rings = [one.get("points") for one in root.iter(f"{SVG}polygon")]
    return [[tuple(map(float, p.split(","))) for p in ring.split()] for ring in rings]


def test_bands_lie_on_each_other_and_are_as_thick_as_their_loss():
    losses = {"shatter": [1.0, 2.0], "stubble": [3.0, 1.0]}
    names = {"shatter": "a", "stubble": "b"}
    drawn = loss_stack(StackView([0.0, 1.0], losses, 0.5), names, STACK)
    low, high = bands(drawn)
    # ring: top left, top right, bottom right, bottom left
    assert high[3] == pytest.approx(low[0])
    assert high[2] == pytest.approx(low[1])
    thick = [(ring[3][1] - ring[0][1]) for ring in (low, high)]
    assert thick[1] == pytest.approx(3 * thick[0], rel=1e-2)


def test_the_table_adds_up():
    losses = {"shatter": [1.0, 2.0], "stubble": [3.0, 1.0]}
    drawn = loss_stack(
        StackView([0.0, 1.0], losses, 0.5), {"shatter": "a", "stubble": "b"}, STACK
    )
    assert drawn.rows[0] == ("0.0", "1.00", "3.00", "4.00")
    assert drawn.rows[-1] == ("1.0", "2.00", "1.00", "3.00")


def test_bands_refuse_what_cannot_be():
    with pytest.raises(OutOfRange):
        StackView([0.0, 1.0], {"shatter": [1.0]}, 0.5)
    with pytest.raises(OutOfRange):
        StackView([0.0, 1.0], {"shatter": [1.0, -2.0]}, 0.5)
