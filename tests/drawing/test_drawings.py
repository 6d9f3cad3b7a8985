"""What holds for every picture: sound XML, words beside shapes, no styles inside."""

import re
from collections.abc import Callable
from xml.etree import ElementTree

import numpy as np
import pytest

from academy import paths
from academy.drawing.belief_line import BeliefPoint, BeliefView, belief_line
from academy.drawing.cost_curve import CurveView, Point, cost_curve
from academy.drawing.cutting_pattern import CuttingView, cutting_pattern
from academy.drawing.header_side import SideView, header_side
from academy.drawing.loss_strip import LossRow, loss_strip
from academy.drawing.share_bars import ShareItem, share_bars
from academy.drawing.svg import Drawing
from academy.engine.cutting_diagram import Knife

HOSTILE = "<script>alert('1')</script>&\"\x00]]>"
SVG = "{http://www.w3.org/2000/svg}"
Words = dict[str, str]


def said(word: str, *keys: str) -> Words:
    return dict.fromkeys(("title", "description", *keys), word)


def a_side(word: str) -> Drawing:
    angle = np.linspace(0, np.pi, 20)
    track = 0.5 * (angle / 1.25 + np.cos(angle)), 1.0 - 0.5 * np.sin(angle)
    view = SideView(0.5, 0.9, 0.2, 0.1, 0.8, 0.12, 6, 1.25, 1.0, 0.1, *track, True)
    kinds = ("axle", "lead", "cut", "crop", "pods", "bar", "path", "entry", "touches")
    words = said(word, *kinds, "travel", "measure", "value")
    return header_side(view, words, dict.fromkeys(kinds, word))


def a_strip(word: str) -> Drawing:
    pieces = {"shatter": 0.02, "knife": 0.0, "processing": 0.01}
    rows = [LossRow(word, pieces, 0.03, True), LossRow(word, pieces, 0.03)]
    names = dict.fromkeys(pieces, word)
    return loss_strip(rows, names, said(word, "unit", "piece", "total"), lambda _: word)


def a_curve(word: str) -> Drawing:
    xs, cost = np.array([1.0, 2.0, 3.0]), np.array([4.0, 2.0, 3.0])
    chosen = [
        Point(word, 2.0, 2.0, "disc", True),
        Point(word, 1.0, 4.0, "diamond"),
        Point(word, 3.0, 3.0, "square"),
    ]
    view = CurveView(xs, cost, cost - 1, cost + 1, chosen, [(2.5, 4.0)])
    words = said(word, "x", "y", "band", "low", "high", "barred")
    return cost_curve(view, words, lambda _v, _d: word)


def some_shares(word: str) -> Drawing:
    items = [ShareItem(word, word, 3.0), ShareItem(word, word, -1.0)]
    return share_bars(items, said(word, "setting", "share", "brought", "saved"))


def a_belief(word: str) -> Drawing:
    days = [BeliefPoint(d, 0.5, 0.2, 0.8, word, word, word) for d in (1.0, 5.0, 9.0)]
    view = BeliefView(days, 0.0, 1.0, [(0.0, word), (1.0, word)], 0.8)
    keys = ("y", "band", "day", "level", "range", "wanted")
    return belief_line(view, said(word, *keys))


def a_knife(word: str) -> Drawing:
    knife = Knife(pitch=0.08, stroke=0.08, tip=0.02, edges=(0.05,), ledger=0.02)
    kinds = ("once", "bunched", "recut", "advance")
    signs = ("swept", "ledger", "section", "travel", "measure", "value")
    words = said(word, *kinds, *signs)
    view = CuttingView(knife, 0.07, yours=True)
    return cutting_pattern(view, words, dict.fromkeys(kinds, word))


Maker = Callable[[str], Drawing]
every_picture = pytest.mark.parametrize(
    "make", [a_side, a_strip, a_curve, some_shares, a_belief, a_knife]
)


def root(drawn: Drawing) -> ElementTree.Element:
    return ElementTree.fromstring(drawn.svg)  # noqa: S314 (our own text)


@every_picture
def test_a_picture_is_named_and_described(make: Maker) -> None:
    svg = root(make("word"))
    names = svg.attrib["aria-labelledby"].split()
    inside = {e.attrib["id"]: e for e in svg.iter() if "id" in e.attrib}
    assert svg.attrib["role"] == "img"
    assert [inside[name].tag for name in names] == [f"{SVG}title", f"{SVG}desc"]
    assert all(inside[name].text for name in names)


@every_picture
def test_hostile_words_stay_words(make: Maker) -> None:
    drawn = make(HOSTILE)
    svg = root(drawn)
    assert not list(svg.iter(f"{SVG}script"))
    # NUL is not allowed in XML at all and is shown as the replacement character.
    assert svg.findtext(f"{SVG}title") == HOSTILE.replace("\x00", "\ufffd")


@every_picture
def test_nothing_is_styled_or_scripted_inside(make: Maker) -> None:
    for element in root(make("word")).iter():
        assert element.tag not in (f"{SVG}style", f"{SVG}script")
        assert not [k for k in element.attrib if k == "style" or k.startswith("on")]


@every_picture
def test_a_picture_takes_the_width_it_is_given(make: Maker) -> None:
    svg = root(make("word"))
    assert "width" not in svg.attrib
    assert re.fullmatch(r"0 0 360 [\d.]+", svg.attrib["viewBox"])


@every_picture
def test_type_is_readable_on_a_phone_390_pixels_wide(make: Maker) -> None:
    # A picture in a slip on a 390 px phone is 390 - 2·12 (page) - 2·12 (slip) - 2·1
    # (edges) = 340 px wide for 360 units; 12 px need 12·360/340 = 12.7 units.
    sizes = [
        float(t.attrib["font-size"]) for t in root(make("word")).iter(f"{SVG}text")
    ]
    assert min(sizes) >= 12.71


@every_picture
def test_every_reference_points_inside_the_picture(make: Maker) -> None:
    drawn = make("word")
    ids = re.findall(r'\bid="([^"]+)"', drawn.svg)
    assert len(ids) == len(set(ids))
    assert set(re.findall(r"url\(#([^)]+)\)", drawn.svg)) <= set(ids)


@every_picture
def test_nothing_lies_outside_the_paper(make: Maker) -> None:
    svg = root(make("word"))
    height = float(svg.attrib["viewBox"].split()[3])
    for text in svg.iter(f"{SVG}text"):
        assert 0 <= float(text.attrib["x"]) <= 360
        assert 0 < float(text.attrib["y"]) <= height


@every_picture
def test_colours_come_from_the_style_sheet(make: Maker) -> None:
    paints = re.findall(r' (?:fill|stroke)="([^"]+)"', make("word").svg)
    assert {p for p in paints if not p.startswith("url(")} <= {
        "none",
        "currentColor",
        "#fff",
    }


@every_picture
def test_every_row_of_the_table_has_every_column(make: Maker) -> None:
    drawn = make("word")
    assert drawn.rows
    assert {len(row) for row in drawn.rows} == {len(drawn.head)}


def test_style_sheets_know_every_class_that_gives_colour() -> None:
    sheet = (paths.static() / "css" / "drawing.css").read_text("utf-8")
    for name in ("yours", "soft", "paper", "halo"):
        assert f".drawing .{name} " in sheet


def test_style_sheets_stay_small_enough_for_a_shed_without_signal() -> None:
    sheets = list((paths.static() / "css").glob("*.css"))
    assert len(sheets) == 7
    assert sum(len(sheet.read_bytes()) for sheet in sheets) <= 20_000


def _luminance(colour: str) -> float:
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [
        p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("ink", ["ink", "soft", "plum"])
@pytest.mark.parametrize("ground", ["paper", "slip"])
def test_type_stands_out_from_paper(ink: str, ground: str) -> None:
    # WCAG 2.2: (L1 + 0.05)/(L2 + 0.05) of at least 4.5 (1.4.3), here 7 (1.4.6) for
    # bright sun.
    sheet = (paths.static() / "css" / "site.css").read_text("utf-8")
    colours = dict(re.findall(r"--(\w+): (#[0-9a-f]{6})", sheet))
    light, dark = _luminance(colours[ground]), _luminance(colours[ink])
    assert (light + 0.05) / (dark + 0.05) >= 7
