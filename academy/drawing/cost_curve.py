"""What one control costs: the curve, its likely band, and the points that were chosen.

Each chosen point stands on a stake that runs up to its words; shape and words tell the
points apart, the band is hatched.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from academy.drawing.axis import (
    Marks,
    Scale,
    Values,
    across,
    marked,
    plain,
    upward,
    widened,
)
from academy.drawing.crowd import Mark, hanging
from academy.drawing.hatch import fill, hatched, hatches
from academy.drawing.svg import (
    NORMAL,
    WIDTH,
    Drawing,
    drawing,
    group,
    halo,
    line,
    points,
    polyline,
    tag,
    text,
    text_width,
)
from academy.engine import guard
from academy.errors import OutOfRange

_RIGHT, _PLOT, _LANE, _TITLE = WIDTH - 10.0, 190.0, 20.0, 22.0


@dataclass(frozen=True, slots=True)
class Point:
    """A chosen setting on the curve; shape is disc, diamond or square.

    A disc fits inside the open shapes, so that points in one place stay apart.
    """

    label: str
    x: float
    y: float
    shape: str
    yours: bool = False


@dataclass(frozen=True, slots=True)
class CurveView:
    """Values and costs in the reader's units; ``barred`` spans are unsafe.

    ``likely``: between which values the least cost lies in most cases. ``crowd``: what
    each of a group chose; small rings on the curve, and a mark each under the axis.
    """

    values: Values
    cost: Values
    low: Values
    high: Values
    points: Sequence[Point]
    barred: Sequence[tuple[float, float]] = ()
    likely: tuple[float, float] | None = None
    crowd: Sequence[Mark] = ()

    def __post_init__(self) -> None:
        for name in ("values", "cost", "low", "high"):
            guard.finite(name, np.asarray(getattr(self, name), dtype=float))
        if any(b <= a for a, b in pairwise(self.values)) or len(self.values) < 2:
            raise OutOfRange("must_rise", name="values", value=len(self.values))


@dataclass(frozen=True, slots=True)
class _Plot:
    x: Scale
    y: Scale
    across: list[tuple[float, str]]
    upward: list[tuple[float, str]]


def _spread(view: CurveView) -> tuple[float, float]:
    """Costs that are drawn: all of the curve, and of its band as far again above it.

    A band that shoots up where the control is all wrong would press the curve flat; it
    leaves the picture at the top. Barred values count only where all are barred.
    """
    xs = np.asarray(view.values, dtype=float)
    barred = np.zeros(xs.shape, dtype=bool)
    for start, end in view.barred:
        barred |= (xs >= start) & (xs <= end)
    kept = np.ones_like(barred) if barred.all() else ~barred
    cost, low, high = (
        np.asarray(each, dtype=float)[kept] for each in (view.cost, view.low, view.high)
    )
    marks = [point.y for point in view.points]
    least, most = min([low.min(), cost.min(), *marks]), max([cost.max(), *marks])
    room = most + max(most - least, (cost - low).max())
    return float(least), float(max(most, min(high.max(), room)))


def _plot(view: CurveView, top: float, number: Marks) -> _Plot:
    xs = [float(v) for v in (*view.values, *(view.likely or ()))]
    xs += [p.x for p in view.points]
    low, high = widened(*_spread(view), 4)
    costs = marked(low, high, 5, number)
    left = 12 + max(text_width(label, 13) for _, label in costs)
    x = Scale(min(xs), max(xs), left, _RIGHT)
    y = Scale(low, high, top + _PLOT, top)
    return _Plot(x, y, marked(x.low, x.high, 5, number), costs)


def _within(plot: _Plot, costs: Values) -> list[float]:
    """Places of costs; what leaves the plot runs along its edge."""
    return plot.y.all(np.clip(costs, plot.y.low, plot.y.high))


def _band(view: CurveView, plot: _Plot, ids: str) -> str:
    xs = plot.x.all(view.values)
    low, high = _within(plot, view.low), _within(plot, view.high)
    ring = points([*xs, *reversed(xs)], [*high, *reversed(low)])
    area = tag("polygon", points=ring, fill=fill(ids, "wide"), class_="band")
    edges = [polyline(xs, edge, stroke_width=0.6) for edge in (low, high)]
    return group(area, *edges, class_="soft")


def _barred(view: CurveView, plot: _Plot, ids: str) -> str:
    spans = []
    for start, end in view.barred:
        left, right = plot.x(max(start, plot.x.low)), plot.x(min(end, plot.x.high))
        spans.append(hatched(ids, "crossed", left, plot.y.end, right - left, _PLOT))
    return group(*spans, class_="soft barred")


def _likely(view: CurveView, plot: _Plot, foot: float) -> str:
    """A bar over the axis, between the values where the least cost may lie."""
    if view.likely is None:
        return ""
    start, end = (plot.x(value) for value in view.likely)
    y = foot - 8
    return group(
        line(start, y, end, y, stroke_width=5.0),
        *[line(x, y - 7, x, y + 7, stroke_width=2.0) for x in (start, end)],
        class_="likely",
    )


def _on_curve(view: CurveView, plot: _Plot) -> str:
    """A small ring on the curve for everyone of the group; rings may share a place."""
    seen = [m.value for m in view.crowd if plot.x.low <= m.value <= plot.x.high]
    costs = np.interp(seen, view.values, view.cost)
    pen = {"fill": "none", "stroke": "currentColor", "stroke_width": 1.2}
    rings = [
        tag("circle", cx=x, cy=y, r=4.0, **pen)
        for x, y in zip(plot.x.all(seen), _within(plot, costs), strict=True)
    ]
    return group(*rings, class_="yours")


def _mark(point: Point, x: float, y: float) -> str:
    pen = {"stroke": "currentColor", "stroke_width": 2.2, "stroke_linejoin": "round"}
    if point.shape == "disc":
        return tag("circle", cx=x, cy=y, r=5.0, **pen)
    reach = 9.0 if point.shape == "diamond" else 6.5
    corners = [(0, -1), (1, 0), (0, 1), (-1, 0)]
    if point.shape == "square":
        corners = [(-1, -1), (1, -1), (1, 1), (-1, 1)]
    ring = points(
        [x + reach * a for a, _ in corners], [y + reach * b for _, b in corners]
    )
    return tag("polygon", points=ring, fill="#fff", class_="paper", **pen)


def _stake(point: Point, plot: _Plot, lane: int) -> str:
    x, y = plot.x(point.x), plot.y(point.y)
    foot = _TITLE + lane * _LANE + 14
    half = text_width(point.label) / 2
    middle = min(max(x, half + 4), WIDTH - half - 4)
    return group(
        line(x, foot + 4, x, y, stroke_width=1.0),
        halo(middle, foot, point.label, anchor="middle", weight="bold"),
        _mark(point, x, y),
        class_="yours" if point.yours else None,
    )


def _barred_key(view: CurveView, words: Mapping[str, str], y: float, ids: str) -> str:
    if not view.barred:
        return ""
    swatch = hatched(ids, "crossed", 6, y - 12, 22, 14)
    return group(swatch, class_="soft") + text(36, y, words["barred"])


def _likely_key(view: CurveView, words: Mapping[str, str], y: float) -> str:
    if view.likely is None:
        return ""
    ends = [line(x, y - 12, x, y + 2, stroke_width=2.0) for x in (6.0, 28.0)]
    return group(line(6, y - 5, 28, y - 5, stroke_width=5.0), *ends) + text(
        36, y, words["likely"]
    )


def _foot(view: CurveView, words: Mapping[str, str], y: float, ids: str) -> list[str]:
    swatch = group(hatched(ids, "wide", 6, y + 12, 22, 14), class_="soft")
    return [
        text(_RIGHT, y, words["x"], NORMAL, anchor="end"),
        swatch,
        text(36, y + 24, words["band"]),
        _likely_key(view, words, y + 46),
        _barred_key(view, words, y + (46 if view.likely is None else 68), ids),
    ]


def cost_curve(
    view: CurveView,
    words: Mapping[str, str],
    number: Marks = plain,
    ids: str = "cost",
) -> Drawing:
    """The cost curve with its band, axes and staked points.

    Words: title, description, x and y (axis names with their units), band, low, high,
    barred when spans are barred, likely when that is given, crowd (head of a column of
    the table) with a crowd. ``number`` writes a value with so many decimals.
    """
    lanes = len(view.points)
    top = _TITLE + lanes * _LANE + 12
    plot, foot = _plot(view, top, number), top + _PLOT
    track = polyline(
        plot.x.all(view.values),
        _within(plot, view.cost),
        stroke_width=2.6,
        class_="curve",
    )
    hung, room = hanging(view.crowd, plot.x, foot + 26)
    under = foot + room + 8 * bool(view.crowd)
    body = [
        hatches(ids, "wide", "crossed"),
        text(6, 15, words["y"]),
        upward(plot.y, plot.x.start, _RIGHT, plot.upward),
        _band(view, plot, ids),
        _barred(view, plot, ids),
        across(plot.x, foot, plot.across),
        track,
        _on_curve(view, plot),
        hung,
        _likely(view, plot, foot),
        *[_stake(p, plot, k) for k, p in enumerate(view.points)],
        *_foot(view, words, under + 40, ids),
    ]
    keys = bool(view.barred) + (view.likely is not None)
    height = under + 74 + 22 * keys
    head, rows = _table(view, words, number)
    spoken = [f"{p.label}." for p in view.points]
    return drawing(ids, words, spoken, height, body, head, rows)


def _table(
    view: CurveView, words: Mapping[str, str], number: Marks
) -> tuple[list[str], list[list[str]]]:
    head = [words["x"], words["y"], words["low"], words["high"]]
    columns = zip(view.values, view.cost, view.low, view.high, strict=True)
    rows = [[number(float(v), 2) for v in each] for each in columns]
    if not view.crowd:
        return head, rows
    counts = _counted(view)
    return [*head, words["crowd"]], [
        [*row, str(count)] for row, count in zip(rows, counts, strict=True)
    ]


def _counted(view: CurveView) -> list[int]:
    """How many of the group stand nearest to each value of the curve."""
    values = np.asarray(view.values, dtype=float)
    nearest = [int(np.abs(values - mark.value).argmin()) for mark in view.crowd]
    return [nearest.count(place) for place in range(len(values))]
