"""The bar over the ground, seen from the cab: to scale across, heights stretched.

The thick line is the knife, the dashed one that of a bar fixed to the frame, where this
one is not; the ground is hatched. The strip beneath tells by its hatch where the bar
lies on the ground, where it pushes soil and, left empty, where it is off the ground.
Rings stand where stiff sections pivot on each other.
Arrows press up under each section as long as its ground force is large.
"""

from collections.abc import Mapping

from academy.drawing import dimension
from academy.drawing.front_view import (
    LEFT,
    RIGHT,
    SECTIONS,
    FrontFrame,
    FrontView,
    frame_of,
    runs,
    stations,
)
from academy.drawing.hatch import fill, hatched, hatches
from academy.drawing.svg import (
    SMALL,
    WIDTH,
    Drawing,
    drawing,
    group,
    line,
    points,
    polyline,
    tag,
    text,
    wrap,
)

__all__ = ["SECTIONS", "FrontView", "bar_front"]
_NAME, _STRIP, _LONGEST = 36.0, 12.0, 30.0
_HATCH = {"ground": "leaning", "touching": "upright", "pushing": "crossed"}
_SHOWN = ("height", "spread", "force")  # written under each section
_SIGNS = ("knife", "hinge", "fixed", "ground", "touching", "off", "pushing")


def _earth(view: FrontView, frame: FrontFrame, ids: str) -> str:
    xs = [frame.x(at) for at in stations(view)]
    ys = [frame.y(float(height)) for height in view.ground]
    xs, ys = [LEFT, *xs, RIGHT], [ys[0], *ys, ys[-1]]
    foot = frame.foot + 14
    ring = points([*xs, RIGHT, LEFT], [*ys, foot, foot])
    soil = tag("polygon", points=ring, fill=fill(ids, _HATCH["ground"]), class_="earth")
    return group(soil, class_="soft") + polyline(xs, ys, class_="ground")


def _ring(x: float, y: float) -> str:
    pen = {"fill": "#fff", "stroke": "currentColor", "stroke_width": 2.0}
    return tag("circle", cx=x, cy=y, r=4.0, **pen, class_="paper hinge")


def _bar(view: FrontView, frame: FrontFrame) -> str:
    xs = [frame.x(at) for at in stations(view)]
    ys, level = ([frame.y(float(h)) for h in row] for row in (view.knife, view.fixed))
    dashed = polyline(xs, level, stroke_dasharray="6 4", class_="fixed")
    dashed = dashed if view.follows else ""
    knife = polyline(xs, ys, stroke_width=3.0, class_="knife")
    rings = [
        _ring(frame.x(at), (ys[start - 1] + ys[start]) / 2)
        for at, start in zip(view.ends[1:3], view.starts[1:], strict=True)
        if view.hinged
    ]
    return dashed + group(knife, *rings, class_="yours" if view.yours else None)


def _names(view: FrontView, frame: FrontFrame, words: Mapping[str, str]) -> str:
    ends, parts = view.ends, []
    for place, section in enumerate(SECTIONS):
        first, last = frame.x(ends[place]), frame.x(ends[place + 1])
        middle = (first + last) / 2
        parts.append(text(middle, 14, words[section], SMALL, "middle", "bold"))
        parts.append(line(first + 2, 20, last - 2, 20))
    return group(*parts, class_="sections")


def _strip(view: FrontView, frame: FrontFrame, ids: str) -> tuple[str, float]:
    top, parts = frame.foot + 20, []
    for state, first, last in runs(view):
        at, wide = frame.x(first), (last - first) * frame.units_per_metre
        if state == "off":
            box = {"x": at, "y": top, "width": wide, "height": _STRIP}
            pen = {"fill": "#fff", "stroke": "currentColor", "stroke_width": 1.2}
            parts.append(tag("rect", **box, **pen, class_="paper"))
        else:
            parts.append(hatched(ids, _HATCH[state], at, top, wide, _STRIP))
    return group(*parts, class_="strip"), top + _STRIP


def _pressed(
    view: FrontView,
    frame: FrontFrame,
    values: Mapping[str, Mapping[str, str]],
    y: float,
) -> tuple[str, float]:
    """An arrow under each section, and what became of it in figures."""
    most, ends, parts = max(*view.forces, 1e-9), view.ends, []
    foot = y + 6 + _LONGEST
    for place, section in enumerate(SECTIONS):
        middle = (frame.x(ends[place]) + frame.x(ends[place + 1])) / 2
        long = _LONGEST * view.forces[place] / most
        if long >= 1.0:
            parts.append(dimension.arrow(middle, y + 4 + long, middle, y + 4))
        for row, kind in enumerate(_SHOWN):
            weight = "bold" if kind == "height" else None
            at = foot + 14 + 17 * row
            told = values[section][kind]
            parts.append(text(middle, at, told, SMALL, "middle", weight))
    return group(*parts, class_="forces"), foot + 14 + 17 * (len(_SHOWN) - 1)


def _scale(
    frame: FrontFrame, words: Mapping[str, str], width: str, y: float
) -> tuple[str, float]:
    """The width as a dimension, and how many times heights are stretched."""
    line_at = y + 28
    parts = [
        dimension.extension(LEFT, line_at - 8, LEFT, line_at + 5),
        dimension.extension(RIGHT, line_at - 8, RIGHT, line_at + 5),
        dimension.level(line_at, LEFT, RIGHT),
    ]
    parts.append(text(WIDTH / 2, line_at - 5, width, SMALL, "middle"))
    said = wrap(words["stretched"].format(times=frame.times), RIGHT - LEFT, SMALL)
    parts.append(text(LEFT, line_at + 24, said, SMALL))
    return group(*parts, class_="soft"), line_at + 24 + 15.6 * (len(said) - 1) + 6


def _sign(kind: str, y: float, ids: str) -> str:
    if kind == "knife":
        return line(6, y - 5, 26, y - 5, stroke_width=3.0)
    if kind == "hinge":
        return line(6, y - 5, 26, y - 5, stroke_width=3.0) + _ring(16, y - 5)
    if kind == "fixed":
        return line(6, y - 5, 26, y - 5, stroke_dasharray="6 4")
    if kind == "off":
        box = {"x": 6.0, "y": y - 12, "width": 20.0, "height": 13.0}
        pen = {"fill": "#fff", "stroke": "currentColor", "stroke_width": 1.2}
        return tag("rect", **box, **pen, class_="paper")
    return hatched(ids, _HATCH[kind], 6, y - 12, 20, 13)


def _key(
    view: FrontView, words: Mapping[str, str], top: float, ids: str
) -> tuple[str, float]:
    parts, unseen = [], {"fixed": not view.follows, "hinge": not view.hinged}
    for kind in (each for each in _SIGNS if not unseen.get(each)):
        names = wrap(words[kind], RIGHT - _NAME)
        foot = top + 7 + 16.8 * len(names)
        parts += [_sign(kind, top + 17, ids), text(_NAME, top + 17, names)]
        parts.append(line(6, foot, RIGHT, foot, stroke_width=0.6, class_="soft"))
        top = foot
    return group(*parts, class_="key"), top


def bar_front(
    view: FrontView,
    words: Mapping[str, str],
    values: Mapping[str, Mapping[str, str]],
    width: str,
    ids: str = "front",
) -> Drawing:
    """The front view with its key, and a table of the sections.

    ``values`` holds for ``left``, ``centre`` and ``right`` the reader's text of kinds
    in one order, ``height``, ``spread`` and ``force`` among them; ``words`` names
    sections, kinds and signs (knife, hinge, fixed, ground, touching, off, pushing) and
    gives title, description, measure and ``stretched`` with a place for ``{times}``.
    """
    frame = frame_of(view)
    strip, foot = _strip(view, frame, ids)
    forces, foot = _pressed(view, frame, values, foot)
    scale, foot = _scale(frame, words, width, foot)
    key, foot = _key(view, words, foot, ids)
    body = [
        hatches(ids, *_HATCH.values()),
        _names(view, frame, words),
        _earth(view, frame, ids),
        _bar(view, frame),
        *(strip, forces, scale, key),
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
