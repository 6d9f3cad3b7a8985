"""The reel from the front is to scale, and its losses stand where they fall."""

from dataclasses import replace
from xml.etree import ElementTree

import pytest

from academy.drawing.reel_front import SECTIONS, ReelView, reel_front

KINDS = ("offset", "gap")
SIGNS = (
    "axle",
    "tines",
    "raised",
    "allowed",
    "bar",
    "shatter",
    "loose_stalk",
    "in_step",
)
NAMED = (*SECTIONS, *KINDS, *SIGNS, "title", "description", "measure", "losses", "near")
WORDS = {name: name for name in NAMED} | {"stretched": "stretched {times} times"}
VALUES = {s: {kind: f"{s} {kind} 1" for kind in KINDS} for s in SECTIONS}
MARKS = [(0.0, "0"), (0.02, "2")]
VIEW = ReelView(
    width=12.4,
    arms=[0.0, 6.2, 12.4],
    axle=[1.2, 1.0, 1.2],
    tip_radius=0.5,
    bar_rise=0.2,
    least_gap=0.05,
    pieces={"shatter": [0.01, 0.02, 0.01], "loose_stalk": [0.01, 0.0, 0.01]},
    in_step=0.015,
)


def drawn(view: ReelView = VIEW) -> ElementTree.Element:
    return ElementTree.fromstring(reel_front(view, WORDS, VALUES, MARKS).svg)  # noqa: S314


def classed(svg: ElementTree.Element, name: str) -> ElementTree.Element:
    return next(e for e in svg.iter() if name in e.get("class", "").split())


def places(shape: ElementTree.Element) -> list[tuple[float, float]]:
    pairs = [pair.split(",") for pair in shape.attrib["points"].split()]
    return [(float(x), float(y)) for x, y in pairs]


def test_widths_are_to_scale_and_heights_so_many_times_as_large() -> None:
    # 310 units for 12.4 m: 25 a metre. 1.2 m up are 30 units, so that 5 times fit into
    # 150 and 10 times do not.
    assert "stretched 5 times" in reel_front(VIEW, WORDS, VALUES, MARKS).description
    axle = places(classed(drawn(), "axle"))
    assert axle[1][0] - axle[0][0] == pytest.approx(6.2 * 25)
    assert axle[1][1] - axle[0][1] == pytest.approx(0.2 * 25 * 5)
    tips = places(classed(drawn(), "tips"))
    assert tips[0][1] - axle[0][1] == pytest.approx(0.5 * 25 * 5)
    levels = [float(e.attrib["y1"]) for e in classed(drawn(), "bars")]
    allowed, raised, bar = levels
    assert bar - raised == pytest.approx(0.2 * 25 * 5)
    assert raised - allowed == pytest.approx(0.05 * 25 * 5)
    assert bar - axle[0][1] == pytest.approx(1.2 * 25 * 5)


def test_losses_stack_place_by_place() -> None:
    grains = places(classed(drawn(), "shatter"))
    stalks = places(classed(drawn(), "loose_stalk"))
    step = (354 - 44) / 3
    starts = [44, 44 + step, 44 + 2 * step]
    assert [x for x, _ in grains[:6:2]] == pytest.approx(starts, abs=0.005)
    foot = grains[-1][1]
    # 84 units for 2 % of the crop
    assert foot - grains[0][1] == pytest.approx(42.0)
    assert foot - grains[2][1] == pytest.approx(84.0)
    assert grains[0][1] - stalks[0][1] == pytest.approx(42.0)
    assert stalks[2][1] == grains[2][1]
    level = float(classed(drawn(), "in-step").attrib["y1"])
    assert foot - level == pytest.approx(63.0)


def test_tines_too_near_are_told_by_a_word() -> None:
    assert ">near<" not in reel_front(VIEW, WORDS, VALUES, MARKS).svg
    low = replace(VIEW, axle=[1.2, 0.7, 1.2])
    assert ">near<" in reel_front(low, WORDS, VALUES, MARKS).svg


def test_the_table_holds_what_the_picture_tells() -> None:
    made = reel_front(VIEW, WORDS, VALUES, MARKS)
    assert made.head == ("measure", *SECTIONS)
    assert made.rows[1] == ("gap", "left gap 1", "centre gap 1", "right gap 1")
    assert all(cell in made.description for row in made.rows for cell in row)
