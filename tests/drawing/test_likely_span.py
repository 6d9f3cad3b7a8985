"""The bar between which the least cost may lie stands at its values, and has a key."""

from xml.etree import ElementTree

import pytest

from academy.drawing.cost_curve import CurveView, cost_curve

NAMED = ("title", "description", "x", "y", "band", "likely", "low", "high", "barred")
WORDS = {name: f"<{name}>" for name in NAMED}


def drawn(likely: tuple[float, float] | None, barred=()) -> ElementTree.Element:
    view = CurveView(
        [0, 1, 2], [4, 2, 4], [3, 1, 3], [6, 3, 6], [], barred=barred, likely=likely
    )
    return ElementTree.fromstring(cost_curve(view, WORDS).svg)  # noqa: S314


def spans(svg: ElementTree.Element) -> list[ElementTree.Element]:
    return [e for e in svg.iter() if "likely" in e.get("class", "").split()]


def test_the_bar_stands_at_its_values_and_a_wider_one_is_longer() -> None:
    def ends(likely: tuple[float, float]) -> tuple[float, float]:
        bar = next(iter(spans(drawn(likely))[0]))
        return float(bar.attrib["x1"]), float(bar.attrib["x2"])

    half, whole = ends((0.5, 1.0)), ends((0.0, 2.0))
    # half a unit is a quarter of the axis' two
    assert (half[1] - half[0]) == pytest.approx((whole[1] - whole[0]) / 4, abs=0.02)
    assert half[1] == pytest.approx((whole[0] + whole[1]) / 2, abs=0.02)


def test_without_a_range_there_is_no_bar_and_no_key() -> None:
    svg = drawn(None)
    assert not spans(svg)
    assert "<likely>" not in "".join(svg.itertext())


def test_both_keys_have_rows_of_their_own_inside_the_picture() -> None:
    svg = drawn((0.5, 1.0), barred=[(1.5, 2.0)])
    rows = [
        float(e.attrib["y"]) for e in svg.iter() if e.text in {"<likely>", "<barred>"}
    ]
    assert len(rows) == 2
    assert rows[1] - rows[0] == pytest.approx(22.0)
    assert max(rows) < float(svg.attrib["viewBox"].split()[3])
