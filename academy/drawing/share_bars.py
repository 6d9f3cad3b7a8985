"""What each setting cost: signed bars from one zero line.

A bar to the right, hatched, is loss that the setting brought; a bar to the left, open,
is loss that it saved.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from academy.drawing.axis import Scale
from academy.drawing.hatch import hatched, hatches
from academy.drawing.svg import (
    WIDTH,
    Drawing,
    drawing,
    group,
    line,
    tag,
    text,
    text_width,
    wrap,
)
from academy.engine import guard

_LEFT, _RIGHT, _BAR = 6.0, WIDTH - 6.0, 18.0


@dataclass(frozen=True, slots=True)
class ShareItem:
    """One setting: its name, its share as the reader reads it, and as a number."""

    label: str
    shown: str
    value: float


def _scale(items: Sequence[ShareItem], most: float) -> Scale:
    for item in items:
        guard.finite("share", item.value)
    low = min([0.0, *[item.value for item in items]])
    high = max([most, *[item.value for item in items]])
    return Scale(low, high if high > low else low + 1, _LEFT, _RIGHT)


def _bar(item: ShareItem, scale: Scale, top: float, ids: str) -> str:
    zero, end = scale(0.0), scale(item.value)
    left, width = min(zero, end), abs(end - zero)
    if item.value > 0:
        return hatched(ids, "leaning", left, top, width, _BAR)
    pen = {"stroke": "currentColor", "stroke_width": 1.4, "stroke_dasharray": "4 3"}
    box = {"x": left, "y": top, "width": width, "height": _BAR}
    return tag("rect", **box, fill="#fff", class_="paper saved", **pen)


def _row(item: ShareItem, scale: Scale, top: float, ids: str) -> tuple[str, float]:
    room = _RIGHT - _LEFT - 1.1 * text_width(item.shown) - 10
    names = wrap(item.label, room)
    bar_top = top + 7 + 16.8 * len(names)
    zero = scale(0.0)
    told = [
        text(_RIGHT, top + 16, item.shown, anchor="end", weight="bold"),
        _bar(item, scale, bar_top, ids),
    ]
    edge = line(zero, bar_top - 3, zero, bar_top + _BAR + 3, stroke_width=2.4)
    parts = [text(_LEFT, top + 16, names), group(*told, class_="yours"), edge]
    return group(*parts), bar_top + _BAR + 10


def _key(
    items: Sequence[ShareItem], words: Mapping[str, str], top: float, ids: str
) -> tuple[str, float]:
    if not any(item.value < 0 for item in items):
        return "", top
    pen = {"stroke": "currentColor", "stroke_width": 1.4, "stroke_dasharray": "4 3"}
    box = {"x": _LEFT, "width": 22.0, "height": 14.0}
    parts = [
        group(hatched(ids, "leaning", _LEFT, top + 8, 22, 14), class_="yours"),
        text(36, top + 20, words["brought"]),
        group(
            tag("rect", **box, y=top + 30, fill="#fff", class_="paper", **pen),
            class_="yours",
        ),
        text(36, top + 42, words["saved"]),
    ]
    return group(*parts), top + 50


def share_bars(
    items: Sequence[ShareItem],
    words: Mapping[str, str],
    ids: str = "share",
    most: float = 0.0,
) -> Drawing:
    """Each setting's share of the avoidable loss, to one scale, in the given order.

    ``most``: what fills the whole width, such as everybody; 0 for the largest share.

    Words: title, description, setting, share (head of the table), and for the key that
    comes with negative shares: brought, saved.
    """
    guard.not_negative("share", most)
    scale = _scale(items, most)
    body, foot = [hatches(ids, "leaning", yours=True)], 2.0
    for item in items:
        part, foot = _row(item, scale, foot, ids)
        body.append(part)
    part, foot = _key(items, words, foot, ids)
    body.append(part)
    spoken = [f"{item.label}: {item.shown}." for item in items]
    head = (words["setting"], words["share"])
    rows = [(item.label, item.shown) for item in items]
    return drawing(ids, words, spoken, foot + 4, body, head, rows)
