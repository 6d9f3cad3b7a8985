"""The mats are to scale, the streams fall as bodies do, and nothing is told by shape
alone."""

import math
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from academy.drawing.mat_along import MatView, SideView, mat_along
from academy.drawing.mat_view import crosses, flight, middle_frame, whole_frame

SVG = "{http://www.w3.org/2000/svg}"
KINDS = ("crop_share", "speed", "slip", "depth")
SIGNS = ("mat", "crop", "bare", "belt", "roller", "flight", "across")
NAMED = (
    *("left", "right", "both", "title", "description", "measure", "middle"),
    *KINDS,
    *SIGNS,
    *("underside", "deflector", "index", "drum"),
)
WORDS = {name: f"{name} word" for name in NAMED}
WORDS |= {"stretched": "stretched {times} times", "deep": "mat {depth}"}
VALUES = {side: {kind: f"{side} {kind} 1" for kind in KINDS} for side in WORDS}
WHOLE = {"index": "0.53", "drum": "clears"}
LEFT = SideView(
    crop=(0.0, 5.8), speed=2.0, edge_depth=0.1, centre_depth=0.2, meets=True
)
VIEW = MatView(
    width=11.6,
    opening=1.6,
    drop=0.2,
    feed_gap=0.06,
    gravity=10.0,
    roller_speed=2.0,
    places=[0.0, 5.0, 5.8, 6.6, 11.6],
    depths=[0.0, 0.1, 0.116, 0.1, 0.0],
    sides=(LEFT, replace(LEFT, crop=(5.8, 11.6))),
)
# one side alone, twice as fast
ALONE = replace(
    VIEW,
    roller_speed=4.0,
    sides=(
        SideView((0.0, 0.0), 4.0, 0.0, 0.0, True),
        replace(VIEW.sides[1], speed=4.0, meets=False),
    ),
)


def drawn(view: MatView = VIEW) -> ElementTree.Element:
    made = mat_along(view, WORDS, VALUES, WHOLE, "5 ft")
    return ElementTree.fromstring(made.svg)  # noqa: S314


def classed(svg: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    return [e for e in svg.iter() if name in e.get("class", "").split()]


def test_widths_are_to_scale_and_heights_so_many_times_as_large() -> None:
    # 348 units for 11.6 m: 30 a metre; 0.116 m at twenty times 69.6 units, at fifty 174
    frame = whole_frame(VIEW, 24.0)
    assert (frame.units_per_metre, frame.times) == (30.0, 20)
    mat = classed(drawn(), "mat")[0]
    ring = next(mat.iter(f"{SVG}polygon")).attrib["points"].split()
    xs, ys = zip(*(map(float, pair.split(",")) for pair in ring), strict=True)
    assert max(xs) - min(xs) == pytest.approx(5.0 * 30.0, abs=0.02)
    assert max(ys) - min(ys) == pytest.approx(0.1 * 30.0 * 20, abs=0.02)
    assert "stretched 20 times" in "".join(drawn().itertext())


def test_in_the_middle_heights_and_widths_share_one_scale() -> None:
    frame = middle_frame(VIEW, 0.0)
    assert frame.times == 1
    gap = classed(drawn(), "underside")[0]
    belt = max(
        float(e.attrib["y1"])
        for e in classed(drawn(), "middle")[0].iter(f"{SVG}line")
        if e.get("stroke-width") == "3"
    )
    high = belt - float(gap.attrib["y1"])
    assert high == pytest.approx(0.06 * frame.units_per_metre, abs=0.02)
    wide = float(gap.attrib["x2"]) - float(gap.attrib["x1"])
    assert wide == pytest.approx(1.6 * frame.units_per_metre, abs=0.02)


def test_a_free_stream_falls_as_a_thrown_body_does() -> None:
    # √(2 × 0.2/10) = 0.2 s at 4 m/s: 0.8 m, just the middle; the top √(2 × 0.3/10)
    places, heights = flight(ALONE, 1, 0.0)
    assert (places[0], heights[0]) == (pytest.approx(6.6), pytest.approx(0.2))
    assert (places[-1], heights[-1]) == (pytest.approx(5.8), pytest.approx(0.0))
    assert heights[12] == pytest.approx(0.2 - 10.0 * 0.1**2 / 2)
    top, _ = flight(ALONE, 1, 0.1)
    assert 6.6 - top[-1] == pytest.approx(4.0 * math.sqrt(0.06))
    assert crosses(ALONE, 1, 0.1)
    assert not crosses(ALONE, 0, 0.0)


def test_a_stream_that_meets_the_other_ends_in_the_middle() -> None:
    fast = replace(LEFT, speed=9.0)
    view = replace(VIEW, sides=(fast, VIEW.sides[1]))
    places, heights = flight(view, 0, 0.1)
    assert places[-1] == pytest.approx(5.8)
    assert min(heights) > 0.0
    assert not crosses(view, 0, 0.1)


def test_a_stream_past_the_opening_lands_on_the_opposite_belt() -> None:
    own = replace(VIEW.sides[1], speed=15.0, meets=False)
    places, heights = flight(replace(ALONE, sides=(ALONE.sides[0], own)), 1, 0.1)
    # level with the belts after √(2 × 0.1/10) s: 2.12 m, beyond 1.6 m
    assert 6.6 - places[-1] == pytest.approx(15.0 * math.sqrt(0.02))
    assert heights[-1] == pytest.approx(0.2)


def test_what_crosses_is_marked_and_told_and_else_is_not() -> None:
    assert classed(drawn(), "crossed") == []
    assert len(classed(drawn(ALONE), "crossed")) == 2  # top of the mat, and the key
    assert "across word" in "".join(drawn(ALONE).itertext())
    assert "across word" not in "".join(drawn().itertext())


def test_the_key_holds_no_sign_that_the_picture_does_not() -> None:
    told = "".join(drawn().itertext())
    assert "bare word" not in told
    assert "roller word" not in told
    assert "deflector word" not in told
    slow = replace(VIEW, sides=(replace(LEFT, speed=1.0), VIEW.sides[1]))
    assert "roller word" in "".join(drawn(slow).itertext())
    assert "bare word" in "".join(drawn(ALONE).itertext())
    fitted = drawn(replace(VIEW, deflector=True))
    assert "deflector word" in "".join(fitted.itertext())
    assert classed(fitted, "deflectors")


def test_a_slipping_belt_has_an_arrow_as_much_shorter() -> None:
    slow = replace(VIEW, sides=(replace(LEFT, speed=1.0), VIEW.sides[1]))
    arrows = [next(e.iter(f"{SVG}line")).attrib for e in classed(drawn(slow), "speed")]
    left, right = (abs(float(a["x2"]) - float(a["x1"])) for a in arrows)
    assert left == pytest.approx(right / 2, abs=0.02)


def test_crop_stands_in_the_strip_where_it_does_in_the_field() -> None:
    lapped = replace(VIEW, sides=(replace(LEFT, crop=(4.0, 5.8)), VIEW.sides[1]))
    boxes = [
        box
        for box in classed(drawn(lapped), "strip")[0].iter(f"{SVG}rect")
        if box.get("fill", "").startswith("url")
    ]
    assert float(boxes[0].attrib["x"]) == pytest.approx(6 + 4.0 * 30.0, abs=0.02)
    assert float(boxes[0].attrib["width"]) == pytest.approx(1.8 * 30.0, abs=0.02)


def test_the_table_and_the_description_hold_every_value() -> None:
    made = mat_along(VIEW, WORDS, VALUES, WHOLE, "5 ft")
    assert made.head == ("measure word", "left word", "right word", "both word")
    told = [VALUES[side][kind] for side in ("left", "right") for kind in KINDS]
    for value in [*told, *WHOLE.values()]:
        assert value in made.description
        assert any(value in row for row in made.rows)
    assert "style=" not in made.svg


def test_an_empty_header_can_be_drawn() -> None:
    empty = SideView((0.0, 0.0), 2.0, 0.0, 0.0, True)
    view = replace(VIEW, depths=[0.0] * 5, sides=(empty, empty))
    assert classed(drawn(view), "flight") == []
