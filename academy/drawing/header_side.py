"""The header from the side, to scale: reel over knife, crop ahead, stubble behind.

One tine is drawn at the moment its tip comes straight down; the heavy line through that
tip is its path over the ground. Letters stand at the dimensions, a key names them.
"""

from collections.abc import Mapping

from academy.drawing import side_parts
from academy.drawing.side_dimensions import BELOW, LETTERS, dimensions, travel
from academy.drawing.side_view import (
    Frame,
    SideView,
    axle_of,
    entry_angle,
    frame_of,
    tips_of,
    touches,
)
from academy.drawing.svg import (
    WIDTH,
    Drawing,
    drawing,
    group,
    line,
    polyline,
    tag,
    text,
    text_width,
    wrap,
)

__all__ = ["SideView", "header_side"]
_RIGHT, _NAME = WIDTH - 6, 34.0


def _path(view: SideView, frame: Frame, ids: str) -> str:
    """The tip's path, shifted so that it runs through the drawn tip."""
    shift = view.reel_lead - view.tip_radius * entry_angle(view) / view.reel_index
    xs = [frame.x(float(x) + shift) for x in view.path_x]
    ys = [frame.y(float(z)) for z in view.path_z]
    track = polyline(xs, ys, stroke_width=2.4, class_="path")
    return group(track, clip_path=f"url(#{ids}-air)")


def _ring(x: float, y: float) -> str:
    pen = {"stroke": "currentColor", "stroke_width": 2.2, "fill": "#fff"}
    return tag("circle", cx=x, cy=y, r=5.5, class_="paper entry", **pen)


def _cross(x: float, y: float) -> str:
    strokes = [
        line(x - 7, y - 7, x + 7, y + 7, stroke_width=3.0),
        line(x - 7, y + 7, x + 7, y - 7, stroke_width=3.0),
    ]
    return group(*strokes, class_="touch")


def _turning(view: SideView, frame: Frame, ids: str) -> str:
    tips = tips_of(view)
    parts = [side_parts.reel(frame, axle_of(view), view.tip_radius, tips)]
    parts.append(_path(view, frame, ids))
    if view.reel_index > 1:
        parts.append(_ring(*frame.at(*tips[0])))
    return group(*parts, class_="yours" if view.yours else None)


def _standing(view: SideView, frame: Frame, ids: str) -> str:
    crop_end = frame.rear + (WIDTH - 26) / frame.units_per_metre
    parts = [
        side_parts.stubble(frame, view.cut_height),
        side_parts.crop(frame, view.crop_height, view.lowest_grain, crop_end),
        side_parts.belt(frame, view.cut_height, view.belt_depth),
        side_parts.cutterbar(frame, view.cut_height),
    ]
    if view.bar_rise > 0:
        parts.append(side_parts.raised_bar(frame, view.cut_height, view.bar_rise))
    return group(*parts, clip_path=f"url(#{ids}-air)")


def _air(frame: Frame, ids: str) -> str:
    box = tag("rect", x=0, y=0, width=WIDTH, height=float(frame.ground))
    return tag("defs", tag("clipPath", box, id=f"{ids}-air"))


def _sign(kind: str, y: float) -> str:
    if kind == "entry":
        return _ring(14.0, y - 5)
    if kind == "touches":
        return _cross(14.0, y - 5)
    if kind == "path":
        return line(6, y - 5, 26, y - 5, stroke_width=2.4)
    return text(9, y, LETTERS[kind], weight="bold")


def _key_line(
    kind: str, name: str, value: str, top: float, yours: bool
) -> tuple[str, float]:
    names = wrap(name, _RIGHT - _NAME - text_width(value) - 8)
    foot = top + 7 + 16.8 * len(names)
    told = group(_sign(kind, top + 17), class_="yours" if yours else None)
    parts = [
        told,
        text(_NAME, top + 17, names),
        text(_RIGHT, top + 17, value, anchor="end", weight="bold"),
    ]
    rule = line(6, foot, _RIGHT, foot, stroke_width=0.6, class_="soft")
    return group(*parts, rule), foot


def _kinds(view: SideView) -> list[str]:
    kinds = [kind for kind in LETTERS if kind != "bar" or view.bar_rise > 0]
    kinds += ["path", *(["entry"] if view.reel_index > 1 else [])]
    return [*kinds, *(["touches"] if touches(view) else [])]


def header_side(
    view: SideView,
    words: Mapping[str, str],
    values: Mapping[str, str],
    ids: str = "side",
) -> Drawing:
    """The side view with its key.

    ``values`` holds the reader's text of axle, lead, cut, crop, pods, bar (and, when
    wanted, path and entry). ``words`` names the same kinds and gives title,
    description, travel, touches, measure and value (head of the table).
    """
    frame = frame_of(view)
    body = [_air(frame, ids), _standing(view, frame, ids)]
    body += [side_parts.soil(frame, WIDTH), *dimensions(view, frame)]
    body += [_turning(view, frame, ids), travel(frame, words["travel"])]
    if touches(view):
        body.append(_cross(*frame.at(0.0, view.cut_height + view.bar_rise)))
    foot, rows = frame.ground + BELOW, []
    for kind in _kinds(view):
        value = values.get(kind, "")
        own = view.yours and kind in ("path", "entry")
        part, foot = _key_line(kind, words[kind], value, foot, own)
        body.append(part)
        rows.append((words[kind], value))
    spoken = [f"{name}: {value}." if value else f"{name}." for name, value in rows]
    head = (words["measure"], words["value"])
    return drawing(ids, words, spoken, foot + 6, body, head, rows)
