"""The day's curve shows the hours fit to cut, the limits and the dew, to scale."""

from xml.etree import ElementTree

import pytest

from academy.drawing.day_curve import DayView, Limit, day_curve
from academy.errors import OutOfRange

NAMED = (
    *("title", "description", "x", "grain", "stems", "window", "shut", "dew", "at"),
    *("hour", "temperature", "humidity", "grain_head", "stems_head", "fit"),
)
WORDS = {name: f"<{name}>" for name in NAMED}
HOURS = [float(hour) for hour in range(25)]


def view(**changed) -> DayView:
    plain = {
        "hours": HOURS,
        "grain": [10.0 + hour / 4 for hour in HOURS],
        "stems": [20.0] * 25,
        "grain_limits": [Limit(15.0, "damp"), Limit(11.0, "dry")],
        "stem_limits": [Limit(25.0, "tough")],
        "window": [(9.0, 15.0)],
        "dew": [(6.0, 8.0)],
        "at": 15.0,
    }
    return DayView(**plain | changed)


def drawn(shown: DayView) -> ElementTree.Element:
    rows = [["6", "10", "90", "12", "20", "fit"]]
    return ElementTree.fromstring(day_curve(shown, WORDS, rows, []).svg)  # noqa: S314


def classed(svg: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    return [e for e in svg.iter() if name in e.get("class", "").split()]


def test_the_window_is_to_scale_in_both_plots() -> None:
    # 18 hours over 310 units: 17.22 an hour; from 9 to 15 it is 103.33 wide
    boxes = classed(drawn(view()), "window")
    assert len(boxes) == 2
    for box in boxes:
        assert float(box.attrib["width"]) == pytest.approx(6 * 310 / 18, abs=0.02)
        assert float(box.attrib["x"]) == pytest.approx(40 + 3 * 310 / 18, abs=0.02)


def test_curves_begin_at_six_and_a_damper_grain_stands_higher() -> None:
    grain, stems = classed(drawn(view()), "curve")
    places = [pair.split(",") for pair in grain.attrib["points"].split()]
    assert len(places) == 19
    heights = [float(y) for _, y in places]
    assert heights == sorted(heights, reverse=True)
    assert len({y for _, y in (p.split(",") for p in stems.attrib["points"].split())})


def test_a_day_without_window_says_so_and_a_day_without_dew_has_no_strip() -> None:
    svg = drawn(view(window=[], dew=[]))
    said = "".join(svg.itertext())
    assert "<shut>" in said
    assert "<dew>" not in said
    assert not classed(svg, "window")
    assert not classed(svg, "dew")[0:]


def test_a_cut_at_night_is_not_staked() -> None:
    assert "<at>" in "".join(drawn(view()).itertext())
    assert "<at>" not in "".join(drawn(view(at=3.0)).itertext())


def test_limits_stay_in_sight_and_their_words_inside_the_plot() -> None:
    svg = drawn(view(stems=[60.0] * 25))
    words = [e for e in svg.iter() if e.text in {"damp", "dry", "tough"}]
    assert len(words) == 3
    assert all(52 < float(e.attrib["y"]) < 352 for e in words)


def test_text_is_escaped_and_titled() -> None:
    made = day_curve(view(), WORDS, [["6"] * 6], ["said."])
    assert "&lt;title&gt;" in made.svg
    assert made.description == "<description> said."
    assert made.head[0] == "<hour>"


def test_uneven_or_negative_moistures_are_refused() -> None:
    with pytest.raises(OutOfRange):
        view(grain=[10.0])
    with pytest.raises(OutOfRange):
        view(stems=[-1.0] * 25)
