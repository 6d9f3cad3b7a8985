"""The stubble a pass left, across the width: heights to scale, marks told by shape.

Cut stems are plain strokes, ragged ones are split at the top, stems left standing run
out of the picture, scraped soil is a dotted heap at the foot.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from academy.drawing.axis import Scale, across, plain, ticks, upward
from academy.drawing.svg import (
    WIDTH,
    Drawing,
    drawing,
    group,
    line,
    polyline,
    tag,
    text,
)

_LEFT, _RIGHT, _TOP, _FOOT = 44.0, WIDTH - 6.0, 24.0, 190.0
_ROOM = 1.45  # of the tallest stubble, so that standing stems have somewhere to go
_SECTIONS = 12  # rows of the table
_STEMS = 2  # strokes drawn at a place


@dataclass(frozen=True, slots=True)
class StubbleView:
    """Places from the left end to the right, in the reader's units; marks at each."""

    width: float
    heights: Sequence[float]
    ragged: Sequence[bool]
    standing: Sequence[bool]
    soil: Sequence[bool]


def _stem(x: float, foot: float, top: float, ragged: bool) -> str:
    if not ragged:
        return line(x, foot, x, top, stroke_width=1.3)
    split = (foot - top) * 0.3
    xs = [x, x + 0.8, x + 2.6]
    ys = [foot, top + split, top - 2]
    return polyline(xs, ys, stroke_width=1.3) + line(
        x + 0.8, top + split, x - 1.2, top + 1, stroke_width=1.1
    )


def _standing(x: float, foot: float) -> str:
    leaf = line(x, _TOP + 26, x + 4, _TOP + 18, stroke_width=1.2)
    return line(x, foot, x, _TOP, stroke_width=2.4) + leaf


def _soil(x: float, wide: float) -> str:
    ends = f"M{x - wide:.2f},{_FOOT} Q{x:.2f},{_FOOT - 13} {x + wide:.2f},{_FOOT}Z"
    dots = {"stroke": "currentColor", "stroke_width": 1.2, "stroke_dasharray": "1 3"}
    return tag("path", d=ends, fill="#fff", class_="paper", **dots)


def _place(view: StubbleView, index: int, scale: Scale, step: float) -> str:
    left = _LEFT + step * index
    parts = [_soil(left + step / 2, step * 0.7)] if view.soil[index] else []
    for stem in range(_STEMS):
        x = left + step * (stem + 0.5) / _STEMS
        if view.standing[index]:
            parts.append(_standing(x, _FOOT))
        else:
            top = scale(view.heights[index])
            parts.append(_stem(x, _FOOT, top, view.ragged[index]))
    return "".join(parts)


def _key(words: Mapping[str, str], top: float) -> str:
    samples = (
        (_stem(14, top + 16, top + 2, False), words["cut"]),
        (_stem(14, top + 40, top + 26, True), words["ragged"]),
        (
            line(14, top + 64, 14, top + 46, stroke_width=2.4)
            + line(14, top + 56, 18, top + 48),
            words["standing"],
        ),
        (
            group(_soil(14, 8), transform=f"translate(0 {top + 86 - _FOOT:.0f})"),
            words["soil"],
        ),
    )
    told = [
        picture + text(30, top + 14 + 24 * row, name)
        for row, (picture, name) in enumerate(samples)
    ]
    return "".join(told)


def _rows(
    view: StubbleView, words: Mapping[str, str], decimals: int
) -> list[tuple[str, str, str, str]]:
    """The same along the width in words: nothing is told by the picture alone."""
    rows, count = [], len(view.heights) // _SECTIONS
    for section in range(_SECTIONS):
        here = slice(section * count, (section + 1) * count)
        cut = [
            height
            for height, stands in zip(
                view.heights[here], view.standing[here], strict=True
            )
            if not stands
        ]
        ends = (view.width * k / _SECTIONS for k in (section, section + 1))
        seen = [
            f"{words[name]} ({sum(getattr(view, name)[here])}/{count})"
            for name in ("ragged", "standing", "soil")
            if any(getattr(view, name)[here])
        ]
        rows.append(
            (
                "–".join(plain(end, 0) for end in ends),
                plain(sum(cut) / len(cut), decimals) if cut else "–",
                "–".join(plain(end, decimals) for end in (min(cut), max(cut)))
                if cut
                else "–",
                ", ".join(seen) or words["nothing"],
            )
        )
    return rows


def stubble_across(
    view: StubbleView, words: Mapping[str, str], decimals: int = 1, ids: str = "stubble"
) -> Drawing:
    """The stubble across the width, and its table of twelve sections.

    ``words``: title, description, x and y (axis titles with units), place, mean, range,
    seen (heads), cut, ragged, standing, soil (marks), nothing.
    """
    most = max(view.heights) * _ROOM or 1.0
    scale = Scale(0.0, most, _FOOT, _TOP)
    along = Scale(0.0, view.width, _LEFT, _RIGHT)
    step = (_RIGHT - _LEFT) / len(view.heights)
    marks = ticks(0.0, most, 5)
    body = [
        text(4, 14, words["y"]),
        upward(scale, _LEFT, _RIGHT, [(mark, f"{mark:g}") for mark in marks]),
        *[_place(view, index, scale, step) for index in range(len(view.heights))],
        across(
            along, _FOOT, [(mark, f"{mark:g}") for mark in ticks(0.0, view.width, 6)]
        ),
        text((_LEFT + _RIGHT) / 2, _FOOT + 38, words["x"], anchor="middle"),
        _key(words, _FOOT + 48),
    ]
    rows = _rows(view, words, decimals)
    head = (words["place"], words["mean"], words["range"], words["seen"])
    return drawing(ids, words, (), _FOOT + 148, body, head, rows)
