"""The bar from the front is to scale, and its strip and arrows are the engine's."""

from dataclasses import replace
from xml.etree import ElementTree

import pytest

from academy.drawing.bar_front import SECTIONS, FrontView, bar_front
from academy.drawing.front_view import frame_of, runs

SVG = "{http://www.w3.org/2000/svg}"
KINDS = ("height", "spread", "force", "off")
NAMED = (
    *SECTIONS,
    *KINDS,
    *("knife", "fixed", "ground", "touching", "pushing", "title", "description"),
    *("measure", "hinge"),
)
WORDS = {name: name for name in NAMED} | {"stretched": "stretched {times} times"}
VALUES = {s: {kind: f"{s} {kind} 1" for kind in KINDS} for s in SECTIONS}
VIEW = FrontView(
    width=12.0,
    ground=[0.0, 0.01, 0.02, 0.0, -0.01, 0.0],
    knife=[0.05, 0.05, 0.06, 0.05, 0.05, 0.02],
    fixed=[0.045] * 6,
    touching=[True, True, True, False, False, True],
    pushing=[False, False, False, False, False, True],
    starts=(0, 2, 4),
    forces=(100.0, 0.0, 200.0),
)


def drawn(view: FrontView = VIEW) -> ElementTree.Element:
    made = bar_front(view, WORDS, VALUES, "40 ft")
    return ElementTree.fromstring(made.svg)  # noqa: S314


def classed(svg: ElementTree.Element, name: str) -> ElementTree.Element:
    return next(e for e in svg.iter() if name in e.get("class", "").split())


def places(line: ElementTree.Element) -> list[tuple[float, float]]:
    pairs = [pair.split(",") for pair in line.attrib["points"].split()]
    return [(float(x), float(y)) for x, y in pairs]


def test_widths_are_to_scale_and_heights_so_many_times_as_large() -> None:
    # 348 units for 12 m: 29 a metre. Heights from −10 to 60 mm: 2.03 units, so that 50
    # times fit into 104 and 100 times do not.
    frame = frame_of(VIEW)
    assert (frame.units_per_metre, frame.times) == (29.0, 50)
    knife = places(classed(drawn(), "knife"))
    assert knife[1][0] - knife[0][0] == pytest.approx(2.0 * 29.0, abs=0.01)
    assert knife[1][1] - knife[2][1] == pytest.approx(0.01 * 29.0 * 50, abs=0.02)
    ground = places(classed(drawn(), "ground"))
    assert ground[1][1] - knife[0][1] == pytest.approx(0.05 * 29.0 * 50, abs=0.02)


def test_the_stretching_is_said_in_words() -> None:
    made = bar_front(VIEW, WORDS, VALUES, "40 ft")
    assert "stretched 50 times" in made.description
    assert "stretched 50 times" in "".join(drawn().itertext())


def test_the_strip_tells_every_state_by_hatch_or_emptiness() -> None:
    assert list(runs(VIEW)) == [
        ("touching", 0.0, 6.0),
        ("off", 6.0, 10.0),
        ("pushing", 10.0, 12.0),
    ]
    boxes = list(classed(drawn(), "strip").iter(f"{SVG}rect"))
    fills = [box.attrib["fill"] for box in boxes]
    # paper under each hatch, paper alone where the bar is off the ground
    assert fills == [
        "#fff",
        "url(#front-upright)",
        "#fff",
        "#fff",
        "url(#front-crossed)",
    ]
    wide = [float(boxes[k].attrib["width"]) for k in (1, 2, 4)]
    assert wide == [pytest.approx(m * 29.0) for m in (6.0, 4.0, 2.0)]


def test_arrows_are_as_long_as_the_forces() -> None:
    shafts = list(classed(drawn(), "forces").iter(f"{SVG}line"))
    lengths = [float(s.attrib["y1"]) - float(s.attrib["y2"]) for s in shafts]
    assert len(lengths) == 2  # nothing presses on the centre
    assert lengths[1] == pytest.approx(2 * lengths[0])


def test_left_stands_left_and_right_right() -> None:
    spots = {
        "".join(e.itertext()): float(e.attrib["x"])
        for e in classed(drawn(), "sections").iter(f"{SVG}text")
    }
    assert spots["left"] < spots["centre"] < spots["right"]
    assert spots["centre"] == pytest.approx(180.0)


def test_a_bar_fixed_to_the_frame_is_one_line() -> None:
    assert "fixed" in "".join(drawn().itertext())
    locked = drawn(replace(VIEW, knife=VIEW.fixed))
    assert all("fixed" not in e.get("class", "").split() for e in locked.iter())
    assert "fixed" not in "".join(locked.itertext())


def test_table_and_description_say_the_same() -> None:
    made = bar_front(VIEW, WORDS, VALUES, "40 ft")
    assert made.head == ("measure", *SECTIONS)
    assert made.rows == tuple(
        (kind, *(VALUES[section][kind] for section in SECTIONS)) for kind in KINDS
    )
    for row in made.rows:
        assert all(value in made.description for value in row[1:])


def test_yours_is_said_of_the_knife_alone() -> None:
    own = classed(drawn(replace(VIEW, yours=True)), "yours")
    assert [e.attrib["class"] for e in own] == ["knife"]


def test_nothing_leaves_the_paper() -> None:
    svg = drawn()
    height = float(svg.attrib["viewBox"].split()[3])
    for line in svg.iter(f"{SVG}polyline"):
        for x, y in places(line):
            assert 6.0 <= x <= 354.0
            assert 20.0 <= y <= height


def test_rings_stand_on_the_knife_where_sections_pivot() -> None:
    assert "hinge" not in "".join(drawn().itertext())
    svg = drawn(replace(VIEW, hinged=True))
    assert "hinge" in "".join(svg.itertext())
    rings = [e for e in svg.iter() if "hinge" in e.get("class", "").split()]
    # two on the bar, one in the key; sections of 4 m: at 6 + 4 × 29 = 122, and at 238
    frame, centres = frame_of(VIEW), [float(e.attrib["cx"]) for e in rings]
    assert centres[:2] == [122.0, 238.0]
    # halfway between the stations beside it: (50 + 60)/2 mm, and 50 mm
    for ring, height in zip(rings, (0.055, 0.05), strict=False):
        assert float(ring.attrib["cy"]) == pytest.approx(frame.y(height), abs=0.01)
