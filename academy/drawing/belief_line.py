"""How a person's level was believed to be, day by day, with its likely band."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from academy.drawing.axis import Scale, across, upward
from academy.drawing.hatch import fill, hatched, hatches
from academy.drawing.svg import (
    SMALL,
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

_RIGHT, _TOP, _PLOT = WIDTH - 12.0, 30.0, 150.0


@dataclass(frozen=True, slots=True)
class BeliefPoint:
    """One day's belief: day number, level with its low and high, and their texts."""

    day: float
    level: float
    low: float
    high: float
    day_text: str
    level_text: str
    band_text: str


@dataclass(frozen=True, slots=True)
class BeliefView:
    """The history; ``marks`` are levels named at the left, ``line`` the wanted one."""

    points: Sequence[BeliefPoint]
    bottom: float
    top: float
    marks: Sequence[tuple[float, str]]
    wanted: float | None = None

    def __post_init__(self) -> None:
        guard.positive("top", self.top - self.bottom)
        days = [point.day for point in self.points]
        if not days or any(b <= a for a, b in pairwise(days)):
            raise OutOfRange("must_rise", name="day", value=len(days))
        for point in self.points:
            guard.at_least("high", point.high, point.low)


def _scales(view: BeliefView) -> tuple[Scale, Scale]:
    left = 12 + max([20.0, *[text_width(label, SMALL) for _, label in view.marks]])
    first, last = view.points[0].day, view.points[-1].day
    if first == last:
        first, last = first - 1, last + 1
    return (
        Scale(first, last, left + 10, _RIGHT - 10),
        Scale(view.bottom, view.top, _TOP + _PLOT, _TOP),
    )


def _band(view: BeliefView, x: Scale, y: Scale, ids: str) -> str:
    xs = x.all([point.day for point in view.points])
    low = y.all([point.low for point in view.points])
    high = y.all([point.high for point in view.points])
    if len(xs) == 1:
        xs, low, high = [xs[0] - 8, xs[0] + 8], low * 2, high * 2
    ring = points([*xs, *reversed(xs)], [*high, *reversed(low)])
    area = tag("polygon", points=ring, fill=fill(ids, "wide"), class_="band")
    edges = [polyline(xs, edge, stroke_width=0.6) for edge in (low, high)]
    return group(area, *edges, class_="soft")


def _track(view: BeliefView, x: Scale, y: Scale) -> str:
    xs = x.all([point.day for point in view.points])
    ys = y.all([point.level for point in view.points])
    size = 4.5 if len(xs) <= 25 else 2.5
    dots = [tag("circle", cx=a, cy=b, r=size) for a, b in zip(xs, ys, strict=True)]
    return group(polyline(xs, ys, stroke_width=2.4), *dots, class_="yours track")


def _wanted(view: BeliefView, words: Mapping[str, str], x: Scale, y: Scale) -> str:
    if view.wanted is None:
        return ""
    place = y(view.wanted)
    rule = line(
        x.start - 10, place, _RIGHT, place, stroke_dasharray="9 4", stroke_width=1.6
    )
    return rule + halo(x.start - 6, place - 6, words["wanted"], size=SMALL)


def _days(view: BeliefView, x: Scale, foot: float) -> str:
    """First and last day, and none between: dates are long."""
    first, last = view.points[0], view.points[-1]
    below = across(x, foot, [(point.day, "") for point in view.points])
    if first is last:
        middle = x(first.day)
        return below + text(middle, foot + 20, first.day_text, anchor="middle")
    ends = (
        text(x.start - 10, foot + 20, first.day_text),
        text(_RIGHT, foot + 20, last.day_text, anchor="end"),
    )
    return below + "".join(ends)


def belief_line(
    view: BeliefView, words: Mapping[str, str], ids: str = "belief"
) -> Drawing:
    """The line of belief through the days it was formed on.

    Words: title, description, y (name of the level), band, day, level, range (head of
    the table), and wanted when a wanted level is drawn.
    """
    x, y = _scales(view)
    foot = _TOP + _PLOT
    body = [
        hatches(ids, "wide"),
        text(6, 15, words["y"]),
        upward(y, x.start - 10, _RIGHT, view.marks),
        _band(view, x, y, ids),
        _wanted(view, words, x, y),
        _days(view, x, foot),
        _track(view, x, y),
        group(hatched(ids, "wide", 6, foot + 34, 22, 14), class_="soft"),
        text(36, foot + 46, words["band"]),
    ]
    last = view.points[-1]
    spoken = [f"{last.day_text}: {last.level_text} ({last.band_text})."]
    head = (words["day"], words["level"], words["range"])
    rows = [(p.day_text, p.level_text, p.band_text) for p in view.points]
    return drawing(ids, words, spoken, foot + 60, body, head, rows)
