"""The cutting pattern is to scale, and its marks are the engine's stems."""

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from academy.drawing.cutting_pattern import CuttingView, cutting_pattern
from academy.drawing.cutting_view import frame_of, stems_of
from academy.engine.cutting_diagram import Knife

SVG = "{http://www.w3.org/2000/svg}"
KINDS = ("once", "bunched", "recut", "advance")
SIGNS = ("swept", "ledger", "section", "travel", "measure", "value")
WORDS = {word: word for word in (*KINDS, *SIGNS, "title", "description")}
VALUES = {kind: f"{kind} 1" for kind in KINDS}
KNIFE = Knife(pitch=0.08, stroke=0.08, tip=0.02, edges=(0.05,), ledger=0.02)
HALF = Knife(pitch=0.04, stroke=0.08, tip=0.01, edges=(0.03,), ledger=0.01)
TURN = Knife(pitch=0.08, stroke=0.08, tip=0.02, edges=(0.05, 0.03), ledger=0.02)
VIEWS = [
    CuttingView(KNIFE, 0.02),
    CuttingView(KNIFE, 0.07),
    CuttingView(KNIFE, 0.18, yours=True),
    CuttingView(HALF, 0.1),
    CuttingView(TURN, 0.07),
]
each_view = pytest.mark.parametrize("view", VIEWS)


def drawn(view: CuttingView) -> ElementTree.Element:
    return ElementTree.fromstring(cutting_pattern(view, WORDS, VALUES).svg)  # noqa: S314


def classed(svg: ElementTree.Element, tag: str, name: str) -> list[ElementTree.Element]:
    found = svg.iter(f"{SVG}{tag}")
    return [e for e in found if name in e.get("class", "").split()]


def stems(svg: ElementTree.Element, fate: str) -> int:
    """Marks of a fate on the ground; the last path is the key's own."""
    paths = classed(svg, "path", fate)
    return sum(path.attrib["d"].count("M") for path in paths[:-1])


@each_view
def test_one_mark_for_every_stem_by_its_fate(view: CuttingView) -> None:
    made, svg = stems_of(view, frame_of(view)), drawn(view)
    assert stems(svg, "bunched") == int((made.passes == 0).sum())
    assert stems(svg, "once") == int((made.passes == 1).sum())
    assert stems(svg, "recut") == int((made.passes > 1).sum())
    assert made.passes.size > 20


@each_view
def test_fates_differ_in_shape_not_in_colour_alone(view: CuttingView) -> None:
    key = {kind: classed(drawn(view), "path", kind)[-1] for kind in KINDS[:3]}
    outlines = {
        kind: re.sub(r"[\d.,\s-]+", "", e.attrib["d"]) for kind, e in key.items()
    }
    assert len(set(outlines.values())) == 3
    assert {e.attrib["stroke"] for e in key.values()} == {"currentColor"}


@each_view
def test_advance_pitch_and_ledgers_share_one_scale(view: CuttingView) -> None:
    svg = drawn(view)
    arrow = classed(svg, "g", "advance")[0]
    tips = [
        float(p.attrib["points"].split(",")[0]) for p in arrow.iter(f"{SVG}polygon")
    ]
    scale = (max(tips) - min(tips)) / view.advance
    boxes = list(classed(svg, "g", "ledgers")[0].iter(f"{SVG}rect"))
    tops = [float(b.attrib["y"]) for b in boxes]
    deep = float(boxes[0].attrib["height"])
    assert (max(tops) + deep - min(tops)) / scale == pytest.approx(
        view.knife.gaps * view.knife.pitch, rel=1e-3
    )
    assert len(boxes) == 2 * (view.knife.gaps + 1)  # paper and ink
    assert deep / scale == pytest.approx(view.knife.ledger / 2, rel=2e-3)
    assert float(boxes[0].attrib["width"]) / scale == pytest.approx(
        2 * view.advance, rel=1e-3
    )


def places(line: ElementTree.Element) -> list[tuple[float, float]]:
    pairs = [pair.split(",") for pair in line.attrib["points"].split()]
    return [(float(x), float(y)) for x, y in pairs]


def test_front_and_heel_of_an_edge_run_a_pitch_over_the_way_of_a_stroke() -> None:
    # The drawn ground begins at x 6. One stroke of 80 mm across on 70 mm along; the
    # front starts half a tip, 10 mm, from the guard and 50 mm ahead of the heel.
    svg, frame = drawn(VIEWS[1]), frame_of(VIEWS[1])
    front, heel = (places(classed(svg, "polyline", n)[-2]) for n in ("front", "heel"))
    for path in (front, heel):
        (x0, y0), (x1, y1) = path[0], path[-1]
        assert (x1 - x0) / frame.units_per_metre == pytest.approx(0.07, abs=1e-4)
        assert (y0 - y1) / frame.units_per_metre == pytest.approx(0.08, abs=1e-4)
    (fx, fy), (hx, hy) = front[0], heel[0]
    assert hx == pytest.approx(6.0)
    assert (fx - hx) / frame.units_per_metre == pytest.approx(0.05, abs=1e-4)
    assert (fy - hy) / frame.units_per_metre == pytest.approx(0.03, abs=1e-4)


@each_view
def test_the_ground_stays_on_the_paper(view: CuttingView) -> None:
    frame = frame_of(view)
    assert frame.x(0.0) == 6.0
    assert frame.x(2 * view.advance) <= 354.0 + 1e-9
    assert frame.depth <= (190.0 if view.knife.uniform else 290.0) + 1e-9


def test_long_and_short_sections_stand_one_over_the_other_to_scale() -> None:
    svg, frame = drawn(VIEWS[-1]), frame_of(VIEWS[-1])
    long, short = (places(each) for each in classed(svg, "polyline", "section")[-2:])
    for section, edge in ((long, 0.05), (short, 0.03)):
        assert (section[2][0] - section[0][0]) / frame.units_per_metre == pytest.approx(
            edge, abs=1e-4
        )
    # a pitch of 80 mm apart; the paper's y runs down
    assert (long[0][1] - short[0][1]) / frame.units_per_metre == pytest.approx(
        0.08, abs=1e-4
    )


def test_table_and_description_say_what_the_key_says() -> None:
    made = cutting_pattern(VIEWS[1], WORDS, VALUES)
    assert dict(made.rows) == VALUES
    assert all(value in made.description for value in VALUES.values())


def test_yours_is_said_of_the_stems_alone() -> None:
    own = classed(drawn(replace(VIEWS[1], yours=True)), "g", "yours")
    assert len(own) == 1
    assert [p for g in own for p in g.iter(f"{SVG}path")]
    assert classed(drawn(VIEWS[1]), "g", "yours") == []
