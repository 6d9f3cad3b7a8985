"""The reel over the bar, seen from the cab, and what each place loses there.

Above: the axle on its arms with the tines hanging from it, over the bar down and over
the bar raised; to scale across, heights stretched. Beneath: two bars stacked at every
place, grain knocked out and stalks not carried in, with the sum of a reel in step as a
dashed line.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from academy.drawing.axis import Scale, Values, upward
from academy.drawing.hatch import OF_PIECE, fill, hatched, hatches
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
    wrap,
)

_LEFT, _RIGHT, _NAME, _TOP = 44.0, WIDTH - 6.0, 42.0, 12.0
_DEEPEST, _LOSSES = 150.0, 84.0
_TIMES = (1, 2, 3, 5, 10)
_TINES = "upright"
PIECES = ("shatter", "loose_stalk")
_SIGNS = ("axle", "tines", "raised", "allowed", "bar", *PIECES, "in_step")
SECTIONS = ("left", "centre", "right")


@dataclass(frozen=True, slots=True)
class ReelView:
    """Heights over the bar at rest [m], from the left end to the right.

    ``arms`` are distances of the arms from the left end [m], ``axle`` the heights at
    them; ``pieces`` the losses [1] at equal strips across, ``in_step`` their sum for a
    reel in step.
    """

    width: float
    arms: Values
    axle: Values
    tip_radius: float
    bar_rise: float
    least_gap: float
    pieces: Mapping[str, Values]
    in_step: float
    yours: bool = False


@dataclass(frozen=True, slots=True)
class _Frame:
    across: Scale
    times: int
    foot: float  # where the bar at rest lies

    def y(self, height: float) -> float:
        return self.foot - float(height) * self.unit * self.times

    @property
    def unit(self) -> float:
        return (self.across.end - self.across.start) / self.across.high


def _frame_of(view: ReelView) -> _Frame:
    across = Scale(0.0, view.width, _LEFT, _RIGHT)
    high = max(float(max(view.axle)), view.bar_rise + view.least_gap)
    room = high * (_RIGHT - _LEFT) / view.width
    times = max((n for n in _TIMES if n * room <= _DEEPEST), default=1)
    return _Frame(across, times, _TOP + room * times)


def _reel(view: ReelView, frame: _Frame, ids: str) -> str:
    xs = frame.across.all(view.arms)
    axle = [frame.y(float(height)) for height in view.axle]
    tips = [frame.y(float(height) - view.tip_radius) for height in view.axle]
    ring = points([*xs, *reversed(xs)], [*axle, *reversed(tips)])
    marks = f"{ids}-y" if view.yours else ids
    parts = [
        tag("polygon", points=ring, fill=fill(marks, _TINES), class_="tines"),
        polyline(xs, tips, stroke_width=0.8, class_="tips"),
        polyline(xs, axle, stroke_width=3.0, class_="axle"),
    ]
    for x, top in zip(xs, axle, strict=True):
        parts.append(line(x, top - 7, x, top + 7, stroke_width=2.4, class_="arm"))
    return group(*parts, class_="yours" if view.yours else None)


def _level(frame: _Frame, height: float, **pen: object) -> str:
    y = frame.y(height)
    return line(_LEFT, y, _RIGHT, y, **pen)


def _bars(view: ReelView, frame: _Frame) -> str:
    return group(
        _level(frame, view.bar_rise + view.least_gap, **_PENS["allowed"]),
        _level(frame, view.bar_rise, **_PENS["raised"]),
        _level(frame, 0.0, **_PENS["bar"]),
        class_="bars",
    )


_PENS: Mapping[str, Mapping[str, object]] = {
    "axle": {"stroke_width": 3.0},
    "allowed": {"stroke_width": 1.4, "stroke_dasharray": "1 4"},
    "raised": {"stroke_width": 1.8, "stroke_dasharray": "7 4"},
    "bar": {"stroke_width": 3.4},
    "in_step": {"stroke_width": 1.8, "stroke_dasharray": "10 3 2 3"},
}


def _steps(levels: Sequence[float], scale: Scale) -> tuple[list[float], list[float]]:
    """Corners of a line that is level at every strip."""
    wide = (_RIGHT - _LEFT) / len(levels)
    ends = [(_LEFT + wide * k, _LEFT + wide * (k + 1)) for k in range(len(levels))]
    ys = [scale(level) for level in levels for _ in range(2)]
    return [x for pair in ends for x in pair], ys


def _stack(view: ReelView, scale: Scale, ids: str) -> str:
    marks = f"{ids}-y" if view.yours else ids
    base, parts = [0.0] * len(view.pieces[PIECES[0]]), []
    for piece in PIECES:
        top = [low + float(x) for low, x in zip(base, view.pieces[piece], strict=True)]
        xs, highs = _steps(top, scale)
        _, lows = _steps(base, scale)
        ring = points([*xs, *reversed(xs)], [*highs, *reversed(lows)])
        paint = {"fill": fill(marks, OF_PIECE[piece]), "class_": f"lost {piece}"}
        parts.append(tag("polygon", points=ring, fill="#fff", class_="paper"))
        parts.append(tag("polygon", points=ring, stroke="currentColor", **paint))
        base = top
    return group(*parts, class_="losses")


def _losses(
    view: ReelView,
    words: Mapping[str, str],
    marks: Sequence[tuple[float, str]],
    top: float,
    ids: str,
) -> tuple[str, float]:
    foot = top + 22 + _LOSSES
    sums = zip(*(view.pieces[piece] for piece in PIECES), strict=True)
    most = max(max(map(sum, sums)), view.in_step, marks[-1][0])
    scale = Scale(0.0, float(most), foot, top + 22)
    level = scale(view.in_step)
    body = [
        text(4, top + 12, words["losses"], SMALL),
        upward(scale, _LEFT, _RIGHT, marks),
        group(_stack(view, scale, ids), class_="yours" if view.yours else None),
        line(_LEFT, level, _RIGHT, level, class_="in-step", **_PENS["in_step"]),
        line(_LEFT, foot, _RIGHT, foot),
    ]
    third = (_RIGHT - _LEFT) / 3
    for place, section in enumerate(SECTIONS):
        middle = _LEFT + third * (place + 0.5)
        body.append(text(middle, foot + 17, words[section], SMALL, "middle"))
    return group(*body), foot + 24


def _sign(kind: str, y: float, ids: str) -> str:
    if kind in _PENS:
        drawn = line(6, y - 5, 34, y - 5, **_PENS[kind])
        arm = line(20, y - 12, 20, y + 2, stroke_width=2.4)
        return drawn + arm if kind == "axle" else drawn
    hatch = _TINES if kind == "tines" else OF_PIECE[kind]
    return hatched(ids, hatch, 6, y - 12, 28, 14)


def _key(words: Mapping[str, str], top: float, ids: str) -> tuple[str, float]:
    parts = []
    for kind in _SIGNS:
        names = wrap(words[kind], _RIGHT - _NAME)
        foot = top + 7 + 16.8 * len(names)
        parts += [_sign(kind, top + 17, ids), text(_NAME, top + 17, names)]
        parts.append(line(6, foot, _RIGHT, foot, stroke_width=0.6, class_="soft"))
        top = foot
    return group(*parts, class_="key"), top


def _warning(view: ReelView, frame: _Frame, words: Mapping[str, str]) -> str:
    """A word at the lowest arm when its tines come too near to the raised bar."""
    low = min(float(height) for height in view.axle) - view.tip_radius - view.bar_rise
    if low >= view.least_gap:
        return ""
    at = list(view.axle).index(min(view.axle))
    x = min(max(frame.across(float(view.arms[at])), 100.0), WIDTH - 66.0)
    y = frame.y(float(view.axle[at]) - view.tip_radius / 2)
    return halo(x, y, words["near"], SMALL, "middle", "bold")


def reel_front(
    view: ReelView,
    words: Mapping[str, str],
    values: Mapping[str, Mapping[str, str]],
    marks: Sequence[tuple[float, str]],
    ids: str = "reel",
) -> Drawing:
    """The reel and its losses with their key, and a table of three thirds of the width.

    ``values`` holds for ``left``, ``centre`` and ``right`` the reader's text of kinds
    in one order; ``marks`` the marks of the losses' scale. ``words`` names sections,
    kinds and signs (axle, tines, raised, allowed, bar, shatter, loose_stalk, in_step)
    and gives title, description, measure, losses, near and ``stretched`` with a place
    for ``{times}``.
    """
    frame = _frame_of(view)
    scale = wrap(words["stretched"].format(times=frame.times), WIDTH - 12, SMALL)
    foot = frame.foot + 20 + 15.6 * len(scale)
    losses, foot = _losses(view, words, marks, foot, ids)
    key, foot = _key(words, foot, ids)
    names = (_TINES, *(OF_PIECE[piece] for piece in PIECES))
    body = [
        hatches(ids, *names),
        hatches(f"{ids}-y", *names, yours=True),
        _reel(view, frame, ids),
        _bars(view, frame),
        _warning(view, frame, words),
        text(6, frame.foot + 22, scale, SMALL, class_="soft"),
        *(losses, key),
    ]
    kinds = list(values["left"])
    rows = [(words[k], *(values[s][k] for s in SECTIONS)) for k in kinds]
    spoken = [words["stretched"].format(times=frame.times)]
    for section in SECTIONS:
        told = "; ".join(f"{words[k]} {values[section][k]}" for k in kinds)
        name = words[section]
        spoken.append(f"{name[:1].upper()}{name[1:]}: {told}.")
    head = (words["measure"], *(words[section] for section in SECTIONS))
    return drawing(ids, words, spoken, foot + 6, body, head, rows)
