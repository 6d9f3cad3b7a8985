"""Share of people who pass, against how far they truly stand from the line.

The line is dashed, the two clear levels are dots with their shares; the wished-for
step from nobody to everybody is drawn thin beside the curve that a test can give.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from academy.drawing.axis import Scale, across, upward
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
)
from academy.engine import guard
from academy.errors import OutOfRange

_LEFT, _RIGHT, _TOP, _FOOT = 46.0, WIDTH - 14.0, 34.0, 214.0


@dataclass(frozen=True, slots=True)
class CurveView:
    """Levels (logits, rising), shares passed (0 to 1), and the levels with a dot."""

    levels: Sequence[float]
    shares: Sequence[float]
    dots: Sequence[float]

    def __post_init__(self) -> None:
        if len(self.levels) != len(self.shares) or len(self.levels) < 2:
            raise OutOfRange("must_rise", name="levels", value=len(self.levels))
        guard.positive("levels", self.levels[-1] - self.levels[0])
        for share in self.shares:
            if not 0 <= share <= 1:
                raise OutOfRange("must_be_a_fraction", name="share", value=share)


def operating_curve(
    view: CurveView,
    words: Mapping[str, str],
    marks: Sequence[tuple[float, str]],
    said: Sequence[str],
    rows: Sequence[Sequence[str]],
    ids: str = "curve",
) -> Drawing:
    """The curve with its dots; ``marks`` name levels below, ``said`` the dots' shares.

    Words: title, description, y (axis title), step, level, share (table heads).
    """
    x = Scale(view.levels[0], view.levels[-1], _LEFT, _RIGHT)
    y = Scale(0.0, 1.0, _FOOT, _TOP)
    known = dict(zip(view.levels, view.shares, strict=True))
    tenths = [(share, f"{share:.0%}".replace("%", " %")) for share in (0, 0.5, 1.0)]
    step = [(x.start, _FOOT), (x(0.0), _FOOT), (x(0.0), _TOP), (x.end, _TOP)]
    dots = []
    for level, label in zip(view.dots, said, strict=True):
        at, up = x(level), y(known[level])
        dots.append(tag("circle", cx=at, cy=up, r=5.0))
        high = known[level] > 0.5
        dots.append(
            halo(at + (9 if high else -9), up + (18 if high else -9), label, SMALL,
                 anchor="start" if high else "end", weight="bold")
        )  # fmt: skip
    body = [
        text(4, 16, words["y"]),
        upward(y, _LEFT, _RIGHT, tenths),
        polyline(
            [p[0] for p in step],
            [p[1] for p in step],
            stroke_dasharray="7 4",
            class_="soft",
        ),
        polyline(x.all(view.levels), y.all(view.shares), stroke_width=2.6),
        group(*dots, class_="yours"),
        line(x(0.0), _FOOT, x(0.0), _FOOT + 5),
        across(x, _FOOT, marks),
        text(_LEFT, _FOOT + 46, words["step"], SMALL, class_="soft"),
    ]
    head = (words["level"], words["share"])
    return drawing(ids, words, (), _FOOT + 58, body, head, rows)
