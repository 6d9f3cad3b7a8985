"""The mat along the belts, from the cab: a wedge from each end, met at the middle.

Above, the whole width with heights stretched; a strip tells where crop stands, arrows
how fast each belt truly runs, dashed to the speed of its roller. Below, the opening to
scale: how far the bottom and the top of each mat fly, the mats on the centre belt, and
the underside of the drum that they must pass.
"""

from collections.abc import Mapping

from academy.drawing import dimension
from academy.drawing.hatch import fill, hatched, hatches
from academy.drawing.mat_view import (
    LEFT,
    RIGHT,
    SIDES,
    MatFrame,
    MatView,
    SideView,
    crosses,
    flight,
    middle_frame,
    polygon,
    whole_frame,
)
from academy.drawing.svg import (
    NORMAL,
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
    text_width,
    wrap,
)

__all__ = ["MatView", "SideView", "mat_along"]
_NAME, _STRIP = 36.0, 12.0
_SHOWN = ("speed", "slip", "depth")  # written under each belt
_BELT = 3.0


def _mat(xs: list[float], ys: list[float], ids: str) -> str:
    ring = points(xs, ys)
    paper = tag("polygon", points=ring, fill="#fff", class_="paper")
    edge = {"stroke": "currentColor", "stroke_width": 1.2}
    return paper + tag("polygon", points=ring, fill=fill(ids, "out"), **edge)


def _wedges(view: MatView, frame: MatFrame, ids: str) -> str:
    """The mats on both side belts, over the belts themselves."""
    first, last = view.edges
    parts = []
    rows = list(zip(view.places, view.depths, strict=True))
    for low, high in ((0.0, first), (last, view.width)):
        on = [(float(x), float(d)) for x, d in rows if low <= x <= high]
        outline = polygon([x for x, _ in on], [d for _, d in on], frame)
        parts.append(group(_mat(*outline, ids), class_="mat"))
        ends = (frame.x(low), frame.level, frame.x(high), frame.level)
        parts.append(line(*ends, stroke_width=_BELT, class_="belt"))
    middle = frame.x(view.width / 2.0)
    parts.append(line(middle, 22, middle, frame.level + 24, stroke_dasharray="2 4"))
    return "".join(parts)


def _standing(view: MatView, frame: MatFrame, ids: str) -> tuple[str, float]:
    """The strip that tells where crop stands before the header."""
    top = frame.level + 8
    box = {"x": LEFT, "y": top, "width": RIGHT - LEFT, "height": _STRIP}
    pen = {"fill": "#fff", "stroke": "currentColor", "stroke_width": 1.2}
    parts = [tag("rect", **box, **pen, class_="paper")]
    for side in view.sides:
        at, wide = (
            frame.x(side.crop[0]),
            (side.crop[1] - side.crop[0]) * frame.units_per_metre,
        )
        if wide > 0:
            parts.append(hatched(ids, "upright", at, top, wide, _STRIP))
    return group(*parts, class_="strip"), top + _STRIP


def _speed(view: MatView, side: int, frame: MatFrame, y: float) -> str:
    """The belt's true speed as an arrow, and a dashed line to its roller's."""
    edge = frame.x(view.edges[side])
    full = 0.7 * (frame.x(view.edges[0]) - LEFT)
    start = edge - full if side == 0 else edge + full
    share = view.sides[side].speed / view.roller_speed
    tip = start + (edge - start) * share
    dashed = line(tip, y, edge, y, stroke_dasharray="3 3") if share < 1 else ""
    return group(dimension.arrow(start, y, tip, y), dashed, class_="speed")


def _told(
    view: MatView,
    frame: MatFrame,
    words: Mapping[str, str],
    values: Mapping[str, Mapping[str, str]],
    y: float,
) -> tuple[str, float]:
    parts = []
    for side, name in enumerate(SIDES):
        parts.append(_speed(view, side, frame, y + 14))
        middle = frame.x(view.width * (0.25 + 0.5 * side))
        for row, kind in enumerate(_SHOWN):
            weight = "bold" if kind == "speed" else None
            at = y + 34 + 17 * row
            told = values[name][kind]
            told = words["deep"].format(depth=told) if kind == "depth" else told
            parts.append(text(middle, at, told, SMALL, "middle", weight))
    return group(*parts, class_="told"), y + 34 + 17 * (len(_SHOWN) - 1)


def _names(words: Mapping[str, str]) -> str:
    parts = [
        text(WIDTH * (0.25 + 0.5 * side), 14, words[name], SMALL, "middle", "bold")
        for side, name in enumerate(SIDES)
    ]
    return group(*parts, class_="names")


def _flights(view: MatView, frame: MatFrame) -> str:
    """The ways of the bottom and the top of each mat through the air."""
    parts = []
    for side, own in enumerate(view.sides):
        if own.edge_depth <= 0:
            continue
        for layer in (0.0, own.edge_depth):
            places, heights = flight(view, side, layer)
            xs = [frame.x(place) for place in places]
            ys = [frame.y(height) for height in heights]
            parts.append(polyline(xs, ys, stroke_dasharray="5 3", class_="flight"))
            parts.append(dimension.arrow(xs[-2], ys[-2], xs[-1], ys[-1]))
            if crosses(view, side, layer):
                parts.append(_cross(xs[-1], ys[-1]))
    return group(*parts, class_="flights")


def _cross(x: float, y: float) -> str:
    """The mark of a stream that lands on the other side."""
    away = line(x - 5, y - 5, x + 5, y + 5, stroke_width=2.4)
    back = line(x - 5, y + 5, x + 5, y - 5, stroke_width=2.4)
    return group(away, back, class_="crossed")


def _ends(view: MatView, frame: MatFrame, ids: str) -> str:
    """The inner ends of both belts with their mats."""
    parts, level = [], frame.y(view.drop)
    for side, own in enumerate(view.sides):
        edge = frame.x(view.edges[side])
        outer = LEFT if side == 0 else RIGHT
        if own.edge_depth > 0:
            top = frame.y(view.drop + own.edge_depth)
            ring = ([outer, outer, edge, edge], [level, top, top, level])
            parts.append(group(_mat(*ring, ids), class_="mat"))
        parts.append(line(outer, level, edge, level, stroke_width=_BELT))
    return "".join(parts)


def _centre(view: MatView, frame: MatFrame, ids: str) -> str:
    """The centre belt with the mats of both sides, and the underside of the drum."""
    first, last = (frame.x(edge) for edge in view.edges)
    middle, level = (first + last) / 2, frame.level
    high = frame.y(view.drop + max(side.edge_depth for side in view.sides)) - 2
    parts = [line(middle, high, middle, level, stroke_dasharray="2 4")]
    for side, (start, end) in enumerate(((first, middle), (middle, last))):
        deep = view.sides[side].centre_depth
        if deep > 0:
            ring = ([start, start, end, end], [level, *[frame.y(deep)] * 2, level])
            parts.append(group(_mat(*ring, ids), class_="mat centre"))
    parts.append(line(first, level, last, level, stroke_width=_BELT))
    gap = frame.y(view.feed_gap)
    parts.append(line(first, gap, last, gap, stroke_width=2.2, class_="underside"))
    return "".join(parts)


def _plates(view: MatView, frame: MatFrame) -> str:
    """Centre deflectors: plates that lean over the ends of the belts."""
    if not view.deflector:
        return ""
    parts, reach = [], view.opening / 3.0
    for side, turn in ((0, 1.0), (1, -1.0)):
        edge = view.edges[side]
        high = view.drop + max(view.sides[side].edge_depth, view.drop / 2.0)
        ends = (frame.x(edge), frame.y(high), frame.x(edge + turn * reach))
        parts.append(line(*ends, frame.y(0.9 * view.drop), stroke_width=4.0))
    return group(*parts, class_="deflectors")


def _middle(
    view: MatView, words: Mapping[str, str], opening: str, y: float, ids: str
) -> tuple[str, float]:
    frame = middle_frame(view, y + 28)
    foot = frame.level + 22
    first, last = (frame.x(edge) for edge in view.edges)
    across = group(
        dimension.extension(first, frame.level + 4, first, foot + 5),
        dimension.extension(last, frame.level + 4, last, foot + 5),
        dimension.level(foot, first, last),
        text((first + last) / 2, foot + 16, opening, SMALL, "middle"),
        class_="soft",
    )
    body = (
        text(LEFT, y + 14, words["middle"], SMALL, weight="bold"),
        _ends(view, frame, ids),
        _centre(view, frame, ids),
        _flights(view, frame),
        _plates(view, frame),
        across,
    )
    return group(*body, class_="middle"), foot + 26


def _sign(kind: str, y: float, ids: str) -> str:
    pen = {"stroke": "currentColor", "stroke_width": 1.2}
    if kind in ("mat", "crop"):
        return hatched(ids, "out" if kind == "mat" else "upright", 6, y - 12, 20, 13)
    if kind == "bare":
        box = {"x": 6.0, "y": y - 12, "width": 20.0, "height": 13.0}
        return tag("rect", **box, **pen, fill="#fff", class_="paper")
    if kind == "across":
        return _cross(16, y - 5)
    if kind == "belt":
        return dimension.arrow(6, y - 5, 26, y - 5)
    wide = {"deflector": 4.0, "underside": 2.2}.get(kind, 1.2)
    dash = {"roller": "3 3", "flight": "5 3"}.get(kind)
    return line(6, y - 5, 26, y - 5, stroke_width=wide, stroke_dasharray=dash)


def _key(rows: list[tuple[str, str, str]], top: float, ids: str) -> tuple[str, float]:
    """Lines of sign, name and value, a rule under each."""
    parts = []
    for kind, name, value in rows:
        start = _NAME if kind else LEFT
        told = wrap(value, (RIGHT - start) * 0.55) if value else []
        taken = max((text_width(part) for part in told), default=-8.0)
        names = wrap(name, RIGHT - start - taken - 8)
        foot = top + 7 + 1.2 * NORMAL * max(len(names), len(told))
        parts += [_sign(kind, top + 17, ids)] if kind else []
        parts.append(text(start, top + 17, names))
        if told:
            parts.append(text(RIGHT, top + 17, told, anchor="end", weight="bold"))
        parts.append(line(6, foot, RIGHT, foot, stroke_width=0.6, class_="soft"))
        top = foot
    return group(*parts, class_="key"), top


def _signs(view: MatView) -> list[str]:
    """Kinds of signs that this picture holds."""
    cut = sum(side.crop[1] - side.crop[0] for side in view.sides) < 0.999 * view.width
    slips = any(side.speed < view.roller_speed for side in view.sides)
    across = any(
        crosses(view, side, own.edge_depth) for side, own in enumerate(view.sides)
    )
    held = {
        "mat": True,
        "crop": True,
        "bare": cut,
        "belt": True,
        "roller": slips,
        "flight": True,
        "across": across,
        "underside": True,
        "deflector": view.deflector,
    }
    return [kind for kind, there in held.items() if there]


def _table(
    words: Mapping[str, str],
    values: Mapping[str, Mapping[str, str]],
    whole: Mapping[str, str],
) -> list[tuple[str, str, str, str]]:
    sides = [
        (words[kind], values["left"][kind], values["right"][kind], "–")
        for kind in values["left"]
    ]
    return sides + [(words[kind], "–", "–", value) for kind, value in whole.items()]


def mat_along(
    view: MatView,
    words: Mapping[str, str],
    values: Mapping[str, Mapping[str, str]],
    whole: Mapping[str, str],
    opening: str,
    ids: str = "mat",
) -> Drawing:
    """The mats with their key, and a table of both sides and the whole.

    ``values`` holds for ``left`` and ``right`` the reader's text of kinds in one order,
    ``speed``, ``slip`` and ``depth`` among them; ``whole`` that of what concerns both.
    ``words`` names all these kinds, the sides, ``both`` and the signs (mat, crop, bare,
    belt, roller, flight, across, underside, deflector), and gives title, description,
    measure, ``middle``, ``deep`` with a place for ``{depth}``, and ``stretched`` with
    one for ``{times}``.
    """
    frame = whole_frame(view, 24)
    strip, foot = _standing(view, frame, ids)
    told, foot = _told(view, frame, words, values, foot)
    said = wrap(words["stretched"].format(times=frame.times), RIGHT - LEFT, SMALL)
    stretched = group(text(LEFT, foot + 22, said, SMALL), class_="soft")
    foot += 22 + 15.6 * (len(said) - 1) + 4
    middle, foot = _middle(view, words, opening, foot, ids)
    rows = [("", words[kind], value) for kind, value in whole.items()]
    rows += [(kind, words[kind], "") for kind in _signs(view)]
    key, foot = _key(rows, foot, ids)
    marked = "yours" if view.yours else None
    body = [
        hatches(ids, "out", "upright"),
        _names(words),
        group(_wedges(view, frame, ids), class_=marked),
        *(strip, told, stretched, middle, key),
    ]
    table = _table(words, values, whole)
    spoken = [words["stretched"].format(times=frame.times)]
    for name in SIDES:
        kinds = "; ".join(f"{words[k]} {v}" for k, v in values[name].items())
        spoken.append(f"{words[name][:1].upper()}{words[name][1:]}: {kinds}.")
    spoken += [f"{words[kind]}: {value}." for kind, value in whole.items()]
    head = (words["measure"], words["left"], words["right"], words["both"])
    return drawing(ids, words, spoken, foot + 6, body, head, table)
