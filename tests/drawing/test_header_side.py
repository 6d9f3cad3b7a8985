"""The side view is to scale."""

import math
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from academy.drawing.header_side import SideView, header_side
from academy.drawing.side_view import axle_of, tips_of, touches
from academy.errors import OutOfRange

SVG = "{http://www.w3.org/2000/svg}"
KINDS = ("axle", "lead", "cut", "crop", "pods", "bar", "path", "entry", "touches")
WORDS = {
    word: word
    for word in (*KINDS, "title", "description", "travel", "measure", "value")
}
# Radius 0.5 m, index 1.25: sin(entry angle) = 1/1.25 = 0.8, cos = 0.6.
VIEW = SideView(0.5, 1.0, 0.2, 0.1, 0.8, 0.12, 6, 1.25, 1.0, 0.0, [], [])


def drawn(view: SideView) -> ElementTree.Element:
    values = {kind: f"{kind} 1" for kind in KINDS}
    return ElementTree.fromstring(header_side(view, WORDS, values).svg)  # noqa: S314


def circle(svg: ElementTree.Element, name: str) -> list[float]:
    found = [c for c in svg.iter(f"{SVG}circle") if name in c.get("class", "").split()]
    return [float(found[0].attrib[key]) for key in ("cx", "cy", "r")]


def dimension(svg: ElementTree.Element, name: str, axis: str) -> float:
    """Length of a dimension: the span of its arrows' tips along an axis."""
    group = next(
        g for g in svg.iter(f"{SVG}g") if g.get("class") == f"dimension {name}"
    )
    tips = [p.attrib["points"].split()[0] for p in group.iter(f"{SVG}polygon")]
    places = [float(tip.split(",")["xy".index(axis)]) for tip in tips]
    return max(places) - min(places)


EXTREMES = [
    VIEW,
    SideView(0.45, 0.5, 0.05, 0.03, 0.5, 0.05, 4, 1.1, 0.9, 0.1, [], []),
    SideView(0.6, 1.4, 0.5, 0.2, 1.1, 0.2, 8, 1.6, 1.1, 0.0, [], []),
]


@pytest.mark.parametrize("view", EXTREMES)
def test_reel_crop_cut_and_axle_share_one_scale(view: SideView) -> None:
    svg = drawn(view)
    scale = circle(svg, "tips")[2] / view.tip_radius
    for name, length in (
        ("crop", view.crop_height),
        ("cut", view.cut_height),
        ("axle", view.reel_height),
    ):
        assert dimension(svg, name, "y") / scale == pytest.approx(length, abs=1e-3)
    lead = dimension(svg, "lead", "x") / scale
    assert lead == pytest.approx(view.reel_lead, abs=1e-3)


@pytest.mark.parametrize("view", EXTREMES)
def test_the_reel_stays_on_the_paper(view: SideView) -> None:
    svg = drawn(view)
    x, y, r = circle(svg, "tips")
    assert r < x < 360 - r
    assert y > r


def test_tip_that_comes_straight_down_is_ahead_and_below_the_axle() -> None:
    # x = 0.2 + 0.5·0.6 = 0.5 m ahead of the knife; z = 1.1 - 0.5·0.8 = 0.7 m high.
    assert tips_of(VIEW)[0] == pytest.approx((0.5, 0.7))
    svg = drawn(VIEW)
    centre, ring = circle(svg, "tips"), circle(svg, "entry")
    scale = centre[2] / 0.5
    assert (ring[0] - centre[0]) / scale == pytest.approx(0.3, abs=1e-3)
    assert (ring[1] - centre[1]) / scale == pytest.approx(0.4, abs=1e-3)


def test_every_tine_tip_lies_on_the_tip_circle() -> None:
    axle = axle_of(VIEW)
    assert [math.dist(axle, tip) for tip in tips_of(VIEW)] == pytest.approx([0.5] * 6)


def test_path_runs_through_the_tip_that_comes_straight_down() -> None:
    # x = R(θ/λ + cos θ), z = H - R sin θ at θ = asin 0.8 = 0.927295 rad:
    # x = 0.5·(0.741836 + 0.6) = 0.670918 from the axle's place at θ = 0; z = 0.7.
    svg = drawn(replace(VIEW, path_x=[0.670918, 0.9], path_z=[0.7, 0.9]))
    path = next(p for p in svg.iter(f"{SVG}polyline") if p.get("class") == "path")
    first = [float(v) for v in path.attrib["points"].split()[0].split(",")]
    assert first == pytest.approx(circle(svg, "entry")[:2], abs=0.02)


def test_below_index_one_no_tip_comes_straight_down() -> None:
    svg = drawn(replace(VIEW, reel_index=0.9))
    assert not [c for c in svg.iter(f"{SVG}circle") if "entry" in c.get("class", "")]


def test_tines_that_reach_the_knife_are_marked_and_said() -> None:
    low = replace(VIEW, reel_height=0.4)  # √(0.2² + 0.4²) = 0.447 m < 0.5 m
    high = replace(VIEW, reel_height=0.5)  # √(0.2² + 0.5²) = 0.539 m > 0.5 m
    assert touches(low)
    assert not touches(high)
    assert touches(replace(high, bar_rise=0.1))  # the bar comes up into the circle
    assert "touches" in header_side(low, WORDS, {}).description
    assert "touches" not in header_side(high, WORDS, {}).description


def test_table_says_what_the_letters_stand_for() -> None:
    values = {"axle": "39.4 in", "lead": "7.9 in", "cut": "3.9 in", "crop": "31 in"}
    table = dict(header_side(VIEW, WORDS, values).rows)
    assert {kind: table[kind] for kind in values} == values
    assert "bar" not in table  # a rigid bar does not rise
    assert "bar" in dict(header_side(replace(VIEW, bar_rise=0.1), WORDS, {}).rows)


def test_yours_is_the_reel_alone() -> None:
    own = drawn(replace(VIEW, yours=True))
    marked = [g for g in own.iter(f"{SVG}g") if g.get("class") == "yours"]
    assert [c for g in marked for c in g.iter() if "tips" in c.get("class", "")]
    assert not [g for g in drawn(VIEW).iter() if g.get("class") == "yours"]


@pytest.mark.parametrize("wrong", [{"tip_radius": 0.0}, {"cut_height": -0.1}])
def test_impossible_headers_are_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(OutOfRange):
        replace(VIEW, **wrong)
