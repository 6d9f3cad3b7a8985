"""How the evidence of an assessment ran: points above par after every scenario."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from academy.drawing.axis import Scale, upward
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

_RIGHT, _TOP, _PLOT = WIDTH - 12.0, 30.0, 170.0
_ROOM = 0.25  # points left free above and below


@dataclass(frozen=True, slots=True)
class PointsView:
    """The running points and the two limits; nobody is judged before ``least``.

    ``start`` is what there was before the first scenario; ``told`` the points as texts;
    ``marks`` are heights named at the left.
    """

    start: float
    points: Sequence[float]
    told: Sequence[str]
    passes: float
    fails: float
    least: int
    marks: Sequence[tuple[float, str]]

    def __post_init__(self) -> None:
        guard.positive("top", self.passes - self.fails)
        if not self.points or len(self.points) != len(self.told):
            raise OutOfRange("must_be_positive", name="count", value=len(self.points))


def _scales(view: PointsView) -> tuple[Scale, Scale]:
    left = 12 + max([20.0, *[text_width(label, SMALL) for _, label in view.marks]])
    heights = [view.start, *view.points, view.passes, view.fails]
    return (
        Scale(0.0, float(max(len(view.points), view.least)), left + 10, _RIGHT - 10),
        Scale(min(heights) - _ROOM, max(heights) + _ROOM, _TOP + _PLOT, _TOP),
    )


def _limit(name: str, height: float, x: Scale, y: Scale, above: bool) -> str:
    place = y(height)
    rule = line(x.start - 10, place, _RIGHT, place, stroke_dasharray="9 4")
    return rule + halo(x.start - 6, place - 5 if above else place + 15, name, SMALL)


def _track(view: PointsView, x: Scale, y: Scale) -> str:
    xs = x.all([float(place) for place in range(len(view.points) + 1)])
    ys = y.all([view.start, *view.points])
    dots = [tag("circle", cx=a, cy=b, r=4.0) for a, b in zip(xs, ys, strict=True)]
    return group(polyline(xs, ys, stroke_width=2.4), *dots[1:], class_="yours track")


def _numbers(view: PointsView, x: Scale, foot: float) -> str:
    last = max(len(view.points), view.least)
    shown = range(2, last + 1, 2) if last > 8 else range(1, last + 1)
    return "".join(
        text(x(float(place)), foot + 18, str(place), size=SMALL, anchor="middle")
        for place in shown
    )


def points_line(
    view: PointsView, words: Mapping[str, str], ids: str = "points"
) -> Drawing:
    """The running points with the limits that end an assessment.

    Words: title, description, y (name of the height), x (name of the numbers below),
    passes, fails (names of the limits), scenario and points (head of the table).
    """
    x, y = _scales(view)
    foot = _TOP + _PLOT
    least = x(float(view.least))
    body = [
        text(6, 15, words["y"]),
        upward(y, x.start - 10, _RIGHT, view.marks),
        line(x.start - 10, y(0.0), _RIGHT, y(0.0), stroke_width=1.6),
        group(line(least, _TOP, least, foot, stroke_width=0.8), class_="soft"),
        _limit(words["passes"], view.passes, x, y, above=True),
        _limit(words["fails"], view.fails, x, y, above=False),
        _track(view, x, y),
        _numbers(view, x, foot),
        text(_RIGHT, foot + 38, words["x"], anchor="end"),
    ]
    rows = [(str(place), told) for place, told in enumerate(view.told, start=1)]
    spoken = [f"{words['scenario']} {len(rows)}: {view.told[-1]}."]
    head = (words["scenario"], words["points"])
    return drawing(ids, words, spoken, foot + 50, body, head, rows)
