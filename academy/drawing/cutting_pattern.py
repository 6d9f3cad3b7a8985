"""The cutting pattern from above, to scale: one period of the bar over two strokes.

A hatched band is the ground that one edge sweeps on its way to the ledger: leaning one
way on strokes to one side, the other way on strokes back. Where bands cross, stubble is
cut again; where the ground is bare, stems are bent forward by the knife back first.
"""

import math
from collections.abc import Iterator, Mapping

import numpy as np

from academy.drawing import dimension
from academy.drawing.cutting_view import (
    FATES,
    CuttingView,
    Frame,
    frame_of,
    marks,
    places,
    stems_of,
)
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
    wrap,
)
from academy.engine.cutting_diagram import EdgePath, edge_path

__all__ = ["CuttingView", "cutting_pattern"]
_RIGHT, _NAME = WIDTH - 6, 36.0
_PHASES = np.linspace(0.0, 1.0, 31)
_HATCH = ("out", "back")
_PENS: Mapping[str, Mapping[str, object]] = {
    "once": {"fill": "#fff", "stroke_width": 1.2, "class_": "stems once paper"},
    "bunched": {"stroke_width": 0.8, "class_": "stems bunched"},
    "recut": {"fill": "none", "stroke_width": 1.6, "class_": "stems recut"},
}


def _paths(view: CuttingView, gap: int) -> Iterator[tuple[int, EdgePath]]:
    """Every edge over the drawn ground of a gap, with its stroke."""
    knife = view.knife
    first = -math.ceil(knife.edge / view.advance) - 1
    for stroke in range(first, 2):
        for section in range(knife.sections):
            path = edge_path(knife, view.advance, stroke, section, _PHASES, gap)
            yield stroke, path


def _band(path: EdgePath, stroke: int, frame: Frame, ids: str) -> str:
    ahead = frame.all(path.front_y, path.front_x)
    behind = frame.all(path.heel_y, path.heel_x)
    ring = points([*ahead[0], *reversed(behind[0])], [*ahead[1], *reversed(behind[1])])
    swept = tag("polygon", points=ring, fill=fill(ids, _HATCH[stroke % 2]))
    front = polyline(*ahead, stroke_width=1.0, class_="front")
    heel = polyline(*behind, stroke_width=1.8, class_="heel")
    return swept + front + heel


def _bands_of(view: CuttingView, frame: Frame, ids: str, gap: int) -> str:
    knife = view.knife
    top = frame.y((gap + 1) * knife.pitch - knife.ledger / 2.0)
    height = (knife.pitch - knife.ledger) * frame.units_per_metre
    box = {"x": frame.x(0.0), "y": top, "width": frame.width, "height": height}
    clip = tag("clipPath", tag("rect", **box), id=f"{ids}-gap-{gap}")
    drawn = [_band(path, stroke, frame, ids) for stroke, path in _paths(view, gap)]
    return tag("defs", clip) + group(
        *drawn, clip_path=f"url(#{ids}-gap-{gap})", class_="soft"
    )


def _bands(view: CuttingView, frame: Frame, ids: str) -> str:
    return "".join(_bands_of(view, frame, ids, gap) for gap in range(view.knife.gaps))


def _ledgers(view: CuttingView, frame: Frame, ids: str) -> str:
    """Every guard's ledger; half of the first and of the last are on the paper."""
    knife, half = view.knife, view.knife.ledger / 2.0
    boxes = []
    for place in range(knife.gaps, -1, -1):
        middle = place * knife.pitch
        upper = min(middle + half, knife.gaps * knife.pitch)
        deep = (upper - max(middle - half, 0.0)) * frame.units_per_metre
        top = frame.y(upper)
        boxes.append(hatched(ids, "lying", frame.x(0.0), top, frame.width, float(deep)))
    return group(*boxes, class_="ledgers")


def _section(view: CuttingView, frame: Frame) -> str:
    """The half section beside each gap as its stroke begins."""
    knife, drawn = view.knife, []
    for gap in range(knife.gaps):
        edge, axis = knife.edge_of(gap, 0, 0), gap * knife.pitch + knife.register
        along = [0.0, 0.0, edge, edge]
        across = [0.0, knife.pitch / 2.0, knife.tip / 2.0, 0.0]
        xs, ys = [frame.x(v) for v in along], [frame.y(axis + v) for v in across]
        drawn.append(polyline(xs, ys, stroke_width=2.6, class_="section"))
    return "".join(drawn)


def _stems(view: CuttingView, frame: Frame) -> str:
    at: dict[str, list[tuple[float, float]]] = {fate: [] for fate in FATES}
    for fate, x, y in places(stems_of(view, frame), frame):
        at[fate].append((x, y))
    parts = [
        tag("path", d=marks(fate, where), stroke="currentColor", **_PENS[fate])
        for fate, where in at.items()
        if where
    ]
    return group(*parts, class_="yours" if view.yours else None)


def _way(view: CuttingView, frame: Frame, word: str) -> tuple[str, float]:
    """The advance per stroke and the driving direction, under the ground."""
    y = frame.y(0.0) + 18
    start, end = frame.x(0.0), frame.x(view.advance)
    told = group(
        dimension.extension(start, y - 14, start, y + 6),
        dimension.extension(end, y - 14, end, y + 6),
        dimension.level(y, start, end, class_="dimension advance"),
        dimension.letter((start + end) / 2, y + 5, "A"),
    )
    foot = y + 26
    shaft = dimension.arrow(_RIGHT - 26, foot, _RIGHT, foot)
    named = halo(_RIGHT - 32, foot + 4.5, word, size=SMALL, anchor="end")
    return told + group(named, shaft, class_="soft"), foot + 12


def _sign(kind: str, y: float, ids: str) -> str:
    if kind in _PENS:
        one = marks(kind, [(15.0, y - 5)])
        return tag("path", d=one, stroke="currentColor", **_PENS[kind])
    if kind == "swept":
        return group(hatched(ids, "out", 6, y - 12, 18, 14), class_="soft")
    if kind == "ledger":
        return hatched(ids, "lying", 6, y - 12, 18, 14)
    if kind == "section":
        return line(6, y - 5, 24, y - 5, stroke_width=2.6)
    return text(10, y, "A", weight="bold") if kind == "advance" else ""


def _key_line(
    kind: str, name: str, value: str, top: float, ids: str
) -> tuple[str, float]:
    names = wrap(name, _RIGHT - _NAME - text_width(value) - 8)
    foot = top + 7 + 16.8 * len(names)
    rule = line(6, foot, _RIGHT, foot, stroke_width=0.6, class_="soft")
    parts = [_sign(kind, top + 17, ids), text(_NAME, top + 17, names)]
    parts.append(text(_RIGHT, top + 17, value, anchor="end", weight="bold"))
    return group(*parts, rule), foot


def cutting_pattern(
    view: CuttingView,
    words: Mapping[str, str],
    values: Mapping[str, str],
    ids: str = "cutting",
) -> Drawing:
    """The pattern with its key.

    ``values`` holds the reader's text of once, bunched, recut, advance and whatever
    else shall stand in the key, in that order; ``words`` names the same kinds and gives
    swept, ledger, section, title, description, travel, measure and value.
    """
    frame = frame_of(view)
    way, foot = _way(view, frame, words["travel"])
    body = [
        hatches(ids, "lying", *_HATCH),
        _bands(view, frame, ids),
        _ledgers(view, frame, ids),
        _section(view, frame),
        _stems(view, frame),
        way,
    ]
    rows = [(kind, words[kind], value) for kind, value in values.items()]
    signs = [(kind, words[kind], "") for kind in ("swept", "ledger", "section")]
    for kind, name, value in [*rows, *signs]:
        part, foot = _key_line(kind, name, value, foot, ids)
        body.append(part)
    spoken = [f"{name}: {value}." for _, name, value in rows]
    head = (words["measure"], words["value"])
    table = [(name, value) for _, name, value in rows]
    return drawing(ids, words, spoken, foot + 6, body, head, table)
