"""Moisture through a day: grain over stems, their limits, and the hours fit to cut.

Hatched hours are the cutting window; a strip on top shows dew or fog. Dashed lines are
the limits, each with its words.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from academy.drawing.axis import Marks, Scale, Values, across, marked, plain, upward
from academy.drawing.hatch import fill, hatched, hatches
from academy.drawing.svg import (
    SMALL,
    WIDTH,
    Drawing,
    drawing,
    group,
    halo,
    line,
    polyline,
    tag,
    text,
    text_width,
)
from academy.engine import guard
from academy.errors import OutOfRange

FIRST, LAST = 6.0, 24.0  # hours that are drawn
_LEFT, _RIGHT = 40.0, WIDTH - 10.0
_STRIP, _TOP, _GRAIN, _GAP, _STEM = 30.0, 52.0, 170.0, 40.0, 90.0
_MIDDLE = _TOP + _GRAIN + _GAP  # where the stems' plot begins
_FOOT = _MIDDLE + _STEM
Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Limit:
    """A dashed line at a moisture, and what is said of it."""

    value: float
    label: str


@dataclass(frozen=True, slots=True)
class DayView:
    """Hours from midnight, moistures in per cent, spans of hours; ``at`` is the cut."""

    hours: Values
    grain: Values
    stems: Values
    grain_limits: Sequence[Limit]
    stem_limits: Sequence[Limit]
    window: Sequence[Span]
    dew: Sequence[Span]
    at: float | None = None

    def __post_init__(self) -> None:
        for name, each in (("grain", self.grain), ("stems", self.stems)):
            guard.not_negative(name, np.asarray(each, dtype=float))
            if len(each) != len(self.hours) or len(each) < 2:
                raise OutOfRange("must_rise", name="values", value=len(each))


def _reach(values: Values, limits: Sequence[Limit]) -> tuple[float, float]:
    all_of = [*(float(v) for v in values), *(each.value for each in limits)]
    room = 0.12 * (max(all_of) - min(all_of)) + 1.0
    return max(min(all_of) - room, 0.0), max(all_of) + room


def _plot(
    hours: Values, values: Values, limits: Sequence[Limit], y: Scale, number: Marks
) -> str:
    x = Scale(FIRST, LAST, _LEFT, _RIGHT)
    shown = [k for k, hour in enumerate(hours) if FIRST <= float(hour) <= LAST]
    xs = x.all([float(hours[k]) for k in shown])
    ys = y.all([float(values[k]) for k in shown])
    parts = [
        upward(y, _LEFT, _RIGHT, marked(y.low, y.high, 5, number)),
        line(_LEFT, y.start, _RIGHT, y.start),
        polyline(xs, ys, stroke_width=2.6, class_="curve"),
    ]
    for limit in limits:
        at = y(limit.value)
        parts.append(line(_LEFT, at, _RIGHT, at, stroke_dasharray="7 4"))
        parts.append(_said(limit, at, xs, ys, y.start))
    return "".join(parts)


def _said(
    limit: Limit, at: float, xs: list[float], ys: list[float], foot: float
) -> str:
    """The limit's words where the curve is farthest from them: left or right, over
    or under the line."""
    wide = text_width(limit.label, SMALL)

    def free(end: bool, over: bool) -> float:
        left = _RIGHT - wide if end else _LEFT
        middle = at + (-9.0 if over else 11.0)
        near = [
            abs(b - middle)
            for a, b in zip(xs, ys, strict=True)
            if left <= a <= left + wide
        ]
        inside = over or at + 19.0 < foot
        return min(min(near, default=0.0), 14.0) if inside else -1.0

    places = [(end, over) for over in (True, False) for end in (True, False)]
    end, over = max(places, key=lambda place: free(*place))
    x, y = (_RIGHT - 2 if end else _LEFT + 2), at + (-5.0 if over else 15.0)
    return halo(x, y, limit.label, SMALL, anchor="end" if end else "start")


def _spans(view: DayView, ids: str) -> tuple[str, str]:
    """The window through both plots, and the strip of dew."""
    x = Scale(FIRST, LAST, _LEFT, _RIGHT)

    def ends(span: Span) -> Span:
        return x(max(span[0], FIRST)), x(min(span[1], LAST))

    open_, dew = [], []
    for left, right in map(ends, view.window):
        for top, tall in ((_TOP, _GRAIN), (_MIDDLE, _STEM)):
            box = {"x": left, "y": top, "width": right - left, "height": tall}
            open_.append(tag("rect", **box, fill=fill(ids, "wide"), class_="window"))
    for left, right in map(ends, view.dew):
        dew.append(hatched(ids, "grains", left, _STRIP, right - left, 14.0))
    return group(*open_, class_="soft"), group(*dew, class_="dew")


def _stake(view: DayView, words: Mapping[str, str]) -> tuple[str, str]:
    """A line through both plots, which words may cover, and its own words."""
    if view.at is None or not FIRST <= view.at <= LAST:
        return "", ""
    x = Scale(FIRST, LAST, _LEFT, _RIGHT)(view.at)
    ends = ((_STRIP, _TOP + _GRAIN), (_MIDDLE, _FOOT))
    stake = [line(x, top, x, foot, stroke_width=1.8) for top, foot in ends]
    middle = min(max(x, 60.0), WIDTH - 60.0)
    said = halo(middle, _TOP + 16, words["at"], anchor="middle", weight="bold")
    return group(*stake, class_="yours"), group(said, class_="yours")


def _key(view: DayView, words: Mapping[str, str], ids: str) -> str:
    y = _FOOT + 52
    parts = [group(hatched(ids, "wide", 6, y, 22, 14), class_="soft")]
    parts.append(text(36, y + 12, words["window" if view.window else "shut"]))
    if view.dew:
        parts += [
            hatched(ids, "grains", 6, y + 24, 22, 14),
            text(36, y + 36, words["dew"]),
        ]
    return "".join(parts)


def day_curve(
    view: DayView,
    words: Mapping[str, str],
    rows: Sequence[Sequence[str]],
    spoken: Sequence[str],
    number: Marks = plain,
    ids: str = "day",
) -> Drawing:
    """Both plots with limits, window and dew; ``rows`` are the hours as a table.

    Words: title, description, x, grain, stems (axis titles), window, shut, dew, at, and
    the heads of the table hour, temperature, humidity, grain_head, stems_head, fit.
    """
    grain = Scale(*_reach(view.grain, view.grain_limits), _TOP + _GRAIN, _TOP)
    stems = Scale(*_reach(view.stems, view.stem_limits), _FOOT, _MIDDLE)
    hours = [(float(h), plain(float(h), 0)) for h in np.arange(FIRST, LAST + 1, 3)]
    open_, dew = _spans(view, ids)
    stake, cut = _stake(view, words)
    body = [
        hatches(ids, "wide", "grains"),
        text(4, 16, words["grain"]),
        text(4, _MIDDLE - 14, words["stems"]),
        open_,
        dew,
        stake,
        _plot(view.hours, view.grain, view.grain_limits, grain, number),
        _plot(view.hours, view.stems, view.stem_limits, stems, number),
        cut,
        across(Scale(FIRST, LAST, _LEFT, _RIGHT), _FOOT, hours),
        text(_RIGHT, _FOOT + 38, words["x"], anchor="end"),
        _key(view, words, ids),
    ]
    names = ("hour", "temperature", "humidity", "grain_head", "stems_head", "fit")
    head = [words[name] for name in names]
    height = _FOOT + (96 if view.dew else 72)
    return drawing(ids, words, spoken, height, body, head, rows)
