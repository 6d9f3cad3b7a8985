"""Where many people stand on one axis: a mark each, stacked where they crowd.

The marks hang under the axis in rows, the nearest first that has room. Who stands
beyond the drawn ends hangs at the end, marked by a point that shows the way out.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from academy.drawing.axis import Scale
from academy.drawing.svg import SMALL, WIDTH, group, points, tag, text, text_width

_DOT, _ROOM = 4.0, 1.0
_DOT_ROW, _WORD_ROW = 10.0, 15.0


@dataclass(frozen=True, slots=True)
class Mark:
    """One person's value; a mark without a label is a plain dot."""

    value: float
    label: str = ""


@dataclass(frozen=True, slots=True)
class Placed:
    """A mark with its place, its row from 0, and -1 or 1 when it lies beyond."""

    mark: Mark
    x: float
    row: int
    beyond: int


def _half(mark: Mark) -> float:
    return _DOT if not mark.label else text_width(mark.label, SMALL) / 2 + 1


def _placed(mark: Mark, scale: Scale, ends: list[float]) -> Placed:
    beyond = (mark.value > scale.high) - (mark.value < scale.low)
    inside = min(max(mark.value, scale.low), scale.high)
    half = _half(mark)
    x = min(max(scale(inside) + beyond * _DOT, half), WIDTH - half)
    left = x - half - _ROOM
    row = next((k for k, end in enumerate(ends) if left >= end), len(ends))
    if row == len(ends):
        ends.append(0.0)
    ends[row] = x + half
    return Placed(mark, x, row, beyond)


def placed(marks: Sequence[Mark], scale: Scale) -> list[Placed]:
    """Each mark in the first row that has room for it, none over another.

    >>> [one.row for one in placed([Mark(5.0), Mark(5.0)], Scale(0, 10, 0, 100))]
    [0, 1]
    """
    ends: list[float] = []
    ordered = sorted(marks, key=lambda mark: mark.value)
    return [_placed(mark, scale, ends) for mark in ordered]


def _shape(one: Placed, y: float) -> str:
    if one.mark.label:
        way = {-1: "‹", 0: "", 1: "›"}[one.beyond]
        said = way + one.mark.label if one.beyond < 0 else one.mark.label + way
        return text(one.x, y + 4.5, said, SMALL, anchor="middle")
    if not one.beyond:
        return tag("circle", cx=one.x, cy=y, r=_DOT)
    tip, back = one.x + one.beyond * _DOT, one.x - one.beyond * _DOT
    ring = points([tip, back, back], [y, y - _DOT, y + _DOT])
    return tag("polygon", points=ring)


def hanging(marks: Sequence[Mark], scale: Scale, top: float) -> tuple[str, float]:
    """The marks from ``top`` down, and the height they take."""
    found = placed(marks, scale)
    if not found:
        return "", 0.0
    high = _WORD_ROW if any(mark.label for mark in marks) else _DOT_ROW
    shapes = [_shape(one, top + high * (one.row + 0.5)) for one in found]
    height = high * (1 + max(one.row for one in found))
    return group(*shapes, class_="yours crowd"), height
