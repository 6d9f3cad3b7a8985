"""Bars, curves and lines are proportional to their data; the table repeats it."""

from collections.abc import Sequence
from xml.etree import ElementTree

import pytest

from academy.drawing.axis import Scale, nice_step, ticks, widened
from academy.drawing.belief_line import BeliefPoint, BeliefView, belief_line
from academy.drawing.cost_curve import CurveView, Point, cost_curve
from academy.drawing.hatch import OF_PIECE
from academy.drawing.loss_strip import LossRow, loss_strip
from academy.drawing.share_bars import ShareItem, share_bars
from academy.drawing.svg import Drawing, fixed, text_width, wrap
from academy.engine.readings import GATHERED, LOSS_PIECES
from academy.errors import OutOfRange

SVG = "{http://www.w3.org/2000/svg}"
NAMES = {piece: piece for piece in (*GATHERED, "processing")}
STRIP_WORDS = dict.fromkeys(("title", "description", "piece", "total"), "w") | {
    "unit": "%"
}


def pieces(*shares: float) -> dict[str, float]:
    return dict(zip(NAMES, shares, strict=True))


def percent(share: float) -> str:
    return f"{100 * share:.1f}"


def root(drawn: Drawing) -> ElementTree.Element:
    return ElementTree.fromstring(drawn.svg)  # noqa: S314 (our own text)


def bars(drawn: Drawing, height: str) -> list[dict[str, str]]:
    """Hatched rectangles of a height, in drawing order."""
    return [
        r.attrib
        for r in root(drawn).iter(f"{SVG}rect")
        if r.get("height") == height and "url" in r.get("fill", "")
    ]


FIRST = LossRow("Yours", pieces(0.02, 0.01, 0, 0.01, 0, 0, 0.01), 0.05, True)
SECOND = LossRow("Best", pieces(0.01, 0.005, 0, 0.005, 0, 0, 0.005), 0.025)


def strip(*rows: LossRow) -> Drawing:
    return loss_strip(rows, NAMES, STRIP_WORDS, percent)


def test_half_the_loss_is_half_the_bar() -> None:
    widths = [float(bar["width"]) for bar in bars(strip(FIRST, SECOND), "28")]
    assert [w / 2 for w in widths[:4]] == pytest.approx(widths[4:], abs=0.01)


def test_pieces_stand_end_to_end() -> None:
    row = bars(strip(FIRST), "28")
    ends = [float(bar["x"]) + float(bar["width"]) for bar in row]
    starts = [float(bar["x"]) for bar in row]
    assert ends[:-1] == pytest.approx(starts[1:], abs=0.02)


def test_every_cause_has_its_own_hatch() -> None:
    assert set(OF_PIECE) == set(LOSS_PIECES)
    assert len(set(OF_PIECE.values())) == len(OF_PIECE)
    fills = [bar["fill"] for bar in bars(strip(FIRST), "14")]
    assert len(set(fills)) == 7


def test_strip_table_holds_every_piece_and_the_total() -> None:
    drawn = strip(FIRST, SECOND)
    assert drawn.head == ("w (%)", "Yours", "Best")
    assert drawn.rows[0] == ("shatter", "2.0", "1.0")
    assert drawn.rows[-1] == ("w", "5.0", "2.5")
    assert len(drawn.rows) == 8


def test_strip_says_totals_in_words() -> None:
    assert "Yours: 5.0 %. Best: 2.5 %." in strip(FIRST, SECOND).description


def test_pieces_that_miss_the_total_are_refused() -> None:
    with pytest.raises(OutOfRange) as refusal:
        strip(LossRow("Yours", pieces(0.02, 0, 0, 0, 0, 0, 0), 0.03))
    assert refusal.value.key == "pieces_must_add_up"


def test_a_negative_loss_is_refused() -> None:
    with pytest.raises(OutOfRange):
        strip(LossRow("Yours", pieces(-0.01, 0.01, 0, 0, 0, 0, 0), 0.0))


def test_no_loss_draws_no_bar() -> None:
    nothing = LossRow("Yours", pieces(*[0.0] * 7), 0.0)
    assert bars(strip(nothing), "28") == []


SHARE_WORDS = {
    k: k for k in ("title", "description", "setting", "share", "brought", "saved")
}


def shares(*values: float) -> Drawing:
    items = [ShareItem(f"s{k}", f"{v:+g}", v) for k, v in enumerate(values)]
    return share_bars(items, SHARE_WORDS)


def test_share_bars_are_proportional() -> None:
    widths = [float(bar["width"]) for bar in bars(shares(4.0, 1.0, 3.0), "18")]
    assert [w / widths[1] for w in widths] == pytest.approx([4, 1, 3], abs=0.01)


def test_a_bar_of_counts_ends_where_everybody_would() -> None:
    items = [ShareItem("right", "1 of 2", 1.0), ShareItem("all", "2 of 2", 2.0)]
    one, _both = bars(share_bars(items, SHARE_WORDS), "18")
    (alone,) = bars(share_bars(items[:1], SHARE_WORDS, most=2.0), "18")
    assert float(alone["width"]) == pytest.approx(float(one["width"]), abs=0.02)


def test_a_saving_is_open_and_lies_left_of_zero() -> None:
    drawn = shares(3.0, -1.0)
    (cost,) = bars(drawn, "18")
    (saved,) = [
        r.attrib
        for r in root(drawn).iter(f"{SVG}rect")
        if r.get("class") == "paper saved"
    ]
    zero = float(cost["x"])
    assert float(saved["x"]) + float(saved["width"]) == pytest.approx(zero, abs=0.02)
    ratio = float(cost["width"]) / float(saved["width"])
    assert ratio == pytest.approx(3, abs=0.01)


def test_share_table_repeats_the_items() -> None:
    assert shares(3.0, -1.0).rows == (("s0", "+3"), ("s1", "-1"))


CURVE_WORDS = {k: k for k in ("title", "description", "x", "y", "band", "low", "high")}


def curve(*points: Point) -> Drawing:
    view = CurveView([0, 1, 2], [4, 2, 4], [3, 1, 3], [6, 3, 6], points)
    return cost_curve(view, CURVE_WORDS)


def places(drawn: Drawing, name: str) -> list[tuple[float, float]]:
    found = next(e for e in root(drawn).iter() if e.get("class") == name)
    pairs = [pair.split(",") for pair in found.attrib["points"].split()]
    return [(float(x), float(y)) for x, y in pairs]


def test_cost_curve_is_linear_in_value_and_cost() -> None:
    (x0, y0), (x1, y1), (x2, y2) = places(curve(), "curve")
    assert x1 - x0 == pytest.approx(x2 - x1, abs=0.02)
    assert y0 == y2 < y1  # dear stands high on the paper


def test_band_encloses_the_curve() -> None:
    track, ring = places(curve(), "curve"), places(curve(), "band")
    upper, lower = ring[:3], ring[:2:-1]
    for (_, high), (_, y), (_, low) in zip(upper, track, lower, strict=True):
        assert high < y < low


def test_a_chosen_point_lies_on_the_curve() -> None:
    drawn = curve(Point("Yours", 1, 2, "disc", True))
    disc = next(root(drawn).iter(f"{SVG}circle"))
    centre = float(disc.attrib["cx"]), float(disc.attrib["cy"])
    assert centre == pytest.approx(places(drawn, "curve")[1], abs=0.02)
    assert "Yours" in drawn.description


def seen(high: list[float], barred: Sequence[tuple[float, float]] = ()) -> float:
    """How tall the curve itself stands, of a view with this upper edge of the band."""
    view = CurveView([0, 1, 2, 3], [4, 2, 4, 4], [3, 1, 3, 3], high, [], barred)
    track = places(cost_curve(view, CURVE_WORDS | {"barred": "barred"}), "curve")
    return max(y for _, y in track) - min(y for _, y in track)


def test_a_band_that_shoots_up_does_not_press_the_curve_flat() -> None:
    usual, steep, steeper = (seen([6, 3, 6, top]) for top in (6.0, 60.0, 600.0))
    assert usual > 0.0
    assert steep == steeper > 0.5 * usual


def test_what_is_barred_does_not_set_the_scale() -> None:
    plain = seen([5, 3, 5, 5])
    assert seen([5, 3, 5, 400.0], barred=[(2.5, 3.5)]) == plain


def test_curve_table_repeats_values_costs_and_band() -> None:
    assert curve().rows[1] == ("1.00", "2.00", "1.00", "3.00")


def test_values_must_rise_and_be_numbers() -> None:
    with pytest.raises(OutOfRange):
        CurveView([0, 0], [1, 1], [1, 1], [1, 1], [])
    with pytest.raises(OutOfRange):
        CurveView([0, 1], [1, float("inf")], [1, 1], [1, 1], [])


def a_day(day: float, level: float) -> BeliefPoint:
    shown = f"{level:.0%}"
    return BeliefPoint(day, level, level / 2, 1.0, f"day {day:g}", shown, "range")


BELIEF_WORDS = {
    k: k for k in ("title", "description", "y", "band", "day", "level", "range")
}


def belief(*days: BeliefPoint) -> Drawing:
    return belief_line(BeliefView(days, 0, 1, [(0, "0"), (1, "1")]), BELIEF_WORDS)


def test_days_stand_apart_as_in_the_calendar() -> None:
    drawn = belief(a_day(0, 0.2), a_day(1, 0.4), a_day(4, 0.6))
    dots = [float(c.attrib["cx"]) for c in root(drawn).iter(f"{SVG}circle")]
    assert (dots[2] - dots[1]) / (dots[1] - dots[0]) == pytest.approx(3, abs=0.01)


def test_levels_rise_in_proportion() -> None:
    drawn = belief(a_day(0, 0.2), a_day(1, 0.4), a_day(4, 0.8))
    dots = [float(c.attrib["cy"]) for c in root(drawn).iter(f"{SVG}circle")]
    assert (dots[0] - dots[2]) / (dots[0] - dots[1]) == pytest.approx(3, abs=0.01)


def test_a_single_day_is_drawn_in_the_middle() -> None:
    svg = root(belief(a_day(7, 0.5)))
    (dot,) = svg.iter(f"{SVG}circle")
    rule = next(r for r in svg.iter(f"{SVG}line") if r.get("class") == "soft")
    middle = (float(rule.attrib["x1"]) + float(rule.attrib["x2"])) / 2
    assert float(dot.attrib["cx"]) == pytest.approx(middle, abs=1.1)


def test_belief_table_repeats_the_days() -> None:
    assert belief(a_day(3, 0.5)).rows == (("day 3", "50%", "range"),)


def test_days_must_rise() -> None:
    with pytest.raises(OutOfRange):
        belief(a_day(3, 0.5), a_day(3, 0.6))


@pytest.mark.parametrize(
    ("span", "step"), [(10, 2), (9, 2), (26, 10), (0.4, 0.1), (1, 0.2), (5, 1)]
)
def test_steps_are_one_two_or_five(span: float, step: float) -> None:
    # the least of 1, 2, 5 times a power of ten that needs no more than five steps
    assert nice_step(span, 5) == pytest.approx(step)


def test_ticks_stay_inside() -> None:
    assert ticks(1.5, 6.2, 5) == pytest.approx([2, 3, 4, 5, 6])


def test_a_single_value_gets_room() -> None:
    low, high = widened(4.0, 4.0, 4)
    assert low < 4 < high


def test_scale_maps_ends_to_ends() -> None:
    scale = Scale(2, 4, 10, 110)
    assert [scale(v) for v in (2, 3, 4)] == [10, 60, 110]


def test_lines_fit_or_hold_one_word() -> None:
    lines = wrap("where the bean was left on the stubble", 90)
    assert " ".join(lines) == "where the bean was left on the stubble"
    assert all(text_width(part) <= 90 or " " not in part for part in lines)


@pytest.mark.parametrize(
    ("value", "shown"), [(10.0, "10"), (0.5, "0.5"), (-0.001, "0"), (1.239, "1.24")]
)
def test_coordinates_are_short(value: float, shown: str) -> None:
    assert fixed(value) == shown
