"""The stubble a pass left, in a row: heights to scale, marks told by shape.

Cut stems are plain strokes, torn ones are split at the top, bunched ones lean, stems
left standing run out of the picture. Scraped soil is a dotted heap at the foot, soil
pushed by the bar a drawn one. Chaff lies in a band below.
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

_LEFT, _RIGHT, _TOP, _FOOT = 44.0, WIDTH - 14.0, 24.0, 190.0
_ROOM = 1.45  # of the tallest stubble, so that standing stems have somewhere to go
_SECTIONS = 12  # rows of the table
_STEMS = 2  # strokes drawn at a place
_NARROW = 12.0  # rows of less are told with one decimal
_ROW = 24.0  # of the key
_MARKS = ("ragged", "bunched", "standing", "soil", "pushed")


@dataclass(frozen=True, slots=True)
class StubbleView:
    """Places in a row over some width, in the reader's units; marks at each.

    ``chaff``: from where to where of the width it lies, as shares; nothing where the
    row does not show it.
    """

    width: float
    heights: Sequence[float]
    ragged: Sequence[bool]
    standing: Sequence[bool]
    soil: Sequence[bool]
    bunched: Sequence[bool] = ()
    pushed: Sequence[bool] = ()
    chaff: Sequence[float] = ()

    def has(self, mark: str, index: int) -> bool:
        """Whether a place carries a mark."""
        marks: Sequence[bool] = getattr(self, mark)
        return bool(marks) and marks[index]


def _leaning(x: float, foot: float, top: float) -> str:
    bend = (foot - top) * 0.45
    return polyline([x - 2, x - 1, x + 5], [foot, foot - bend, top], stroke_width=1.3)


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


def _heap(x: float, wide: float) -> str:
    left, right = x - wide, x + wide
    top = f"M{left:.2f},{_FOOT} L{x:.2f},{_FOOT - 11:.2f} L{right:.2f},{_FOOT}Z"
    return tag("path", d=top, fill="currentColor", class_="soft")


def _ground(view: StubbleView, index: int, x: float, wide: float) -> list[str]:
    scraped = [_soil(x, wide)] if view.has("soil", index) else []
    return scraped + ([_heap(x, wide)] if view.has("pushed", index) else [])


def _cut(view: StubbleView, index: int, x: float, top: float) -> str:
    if view.has("bunched", index) and not view.ragged[index]:
        return _leaning(x, _FOOT, top)
    return _stem(x, _FOOT, top, view.ragged[index])


def _place(view: StubbleView, index: int, scale: Scale, step: float) -> str:
    left = _LEFT + step * index
    parts = _ground(view, index, left + step / 2, step * 0.7)
    for stem in range(_STEMS):
        x = left + step * (stem + 0.5) / _STEMS
        if view.standing[index]:
            parts.append(_standing(x, _FOOT))
        else:
            parts.append(_cut(view, index, x, scale(view.heights[index])))
    return "".join(parts)


def _chaff(view: StubbleView, top: float) -> str:
    if not view.chaff:
        return ""
    start, end = (_LEFT + share * (_RIGHT - _LEFT) for share in view.chaff)
    return line(start, top, end, top, stroke_width=5.0, stroke_dasharray="2 2")


def _sample(name: str, top: float) -> str:
    foot, tip = top + 16, top + 2
    soil = {"soil": _soil, "pushed": _heap}
    if name in soil:
        down = f"translate(0 {top + 14 - _FOOT:.0f})"
        return group(soil[name](14, 8), transform=down)
    if name == "standing":
        return line(14, foot, 14, top - 2, stroke_width=2.4) + line(
            14, top + 8, 18, top
        )
    if name == "chaff":
        return line(4, top + 9, 24, top + 9, stroke_width=5.0, stroke_dasharray="2 2")
    if name == "bunched":
        return _leaning(14, foot, tip)
    return _stem(14, foot, tip, name == "ragged")


def _key(names: Sequence[str], words: Mapping[str, str], top: float) -> str:
    told = [
        _sample(name, top + _ROW * row) + text(30, top + 14 + _ROW * row, words[name])
        for row, name in enumerate(names)
    ]
    return "".join(told)


def _shown(view: StubbleView) -> list[str]:
    """Marks that the key explains: all that this row could have shown."""
    could = ("ragged", "bunched", "standing", "soil", "pushed", "chaff")
    return ["cut", *(name for name in could if getattr(view, name))]


def _chaff_seen(view: StubbleView, words: Mapping[str, str], share: float) -> list[str]:
    if not view.chaff or view.chaff[0] <= 0:
        return []  # nothing is said of chaff that lies all over
    covered = view.chaff[0] <= share <= view.chaff[1]
    return [words["chaff"]] if covered else []


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
            for name in _MARKS
            if any(getattr(view, name)[here])
        ]
        seen += _chaff_seen(view, words, (section + 0.5) / _SECTIONS)
        rows.append(
            (
                "–".join(plain(end, int(view.width < _NARROW)) for end in ends),
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
    """The stubble in a row, and its table of twelve sections.

    ``words``: title, description, x and y (axis titles with units), place, mean, range,
    seen (heads), cut, ragged, bunched, standing, soil, pushed, chaff (marks), nothing.
    """
    most = max(view.heights) * _ROOM or 1.0
    scale = Scale(0.0, most, _FOOT, _TOP)
    along = Scale(0.0, view.width, _LEFT, _RIGHT)
    step = (_RIGHT - _LEFT) / len(view.heights)
    marks, shown = ticks(0.0, most, 5), _shown(view)
    body = [
        text(4, 14, words["y"]),
        upward(scale, _LEFT, _RIGHT, [(mark, f"{mark:g}") for mark in marks]),
        *[_place(view, index, scale, step) for index in range(len(view.heights))],
        across(
            along, _FOOT, [(mark, f"{mark:g}") for mark in ticks(0.0, view.width, 6)]
        ),
        text((_LEFT + _RIGHT) / 2, _FOOT + 38, words["x"], anchor="middle"),
        _chaff(view, _FOOT + 50),
        _key(shown, words, _FOOT + 58),
    ]
    rows = _rows(view, words, decimals)
    head = (words["place"], words["mean"], words["range"], words["seen"])
    height = _FOOT + 62 + _ROW * len(shown)
    return drawing(ids, words, (), height, body, head, rows)
