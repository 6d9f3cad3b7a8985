"""How far a group set one control off the best, each off the best of an own field."""

from collections import Counter
from collections.abc import Mapping, Sequence

from academy.drawing.axis import Marks, Scale, across, marked, plain, widened
from academy.drawing.crowd import Mark, hanging
from academy.drawing.svg import NORMAL, WIDTH, Drawing, drawing, line, text, text_width
from academy.engine import guard

_LEFT, _RIGHT, _AXIS = 14.0, WIDTH - 14.0, 44.0


def off_best(
    marks: Sequence[Mark],
    words: Mapping[str, str],
    number: Marks = plain,
    ids: str = "off",
) -> Drawing:
    """An axis with the best at zero, and a mark each under it.

    Words: title, description, x (name of the difference with its unit), best (what
    stands at zero), people (head of the table).
    """
    for mark in marks:
        guard.finite("value", mark.value)
    ends = [0.0, *[mark.value for mark in marks]]
    low, high = widened(min(ends), max(ends), 4)
    scale = Scale(low, high, _LEFT, _RIGHT)
    hung, room = hanging(marks, scale, _AXIS + 26)
    foot = _AXIS + 26 + room + 20
    zero, half = scale(0.0), text_width(words["best"]) / 2
    middle = min(max(zero, half + 4), WIDTH - half - 4)
    body = [
        text(middle, 15, words["best"], anchor="middle", weight="bold"),
        line(zero, 20, zero, _AXIS, stroke_width=2.4),
        across(scale, _AXIS, marked(low, high, 4, number)),
        hung,
        text(_RIGHT, foot, words["x"], NORMAL, anchor="end"),
    ]
    counts = Counter(number(mark.value, 2) for mark in marks)
    rows = [(shown, str(count)) for shown, count in _in_order(marks, counts, number)]
    spoken = [f"{shown}: {count}." for shown, count in rows]
    head = (words["x"], words["people"])
    return drawing(ids, words, spoken, foot + 8, body, head, rows)


def _in_order(
    marks: Sequence[Mark], counts: Mapping[str, int], number: Marks
) -> list[tuple[str, int]]:
    ordered = sorted(mark.value for mark in marks)
    shown = dict.fromkeys(number(value, 2) for value in ordered)
    return [(each, counts[each]) for each in shown]
