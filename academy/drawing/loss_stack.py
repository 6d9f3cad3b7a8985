"""How each loss goes with one control: hatched bands laid on each other.

The top line is the loss in all; a band's thickness is one piece of it. The same hatches
tell the pieces as in the loss strip. A stake marks one setting.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import accumulate

import numpy as np

from academy.drawing.axis import Scale, Values, across, marked, plain, upward
from academy.drawing.hatch import OF_PIECE, fill, hatched, hatches
from academy.drawing.svg import (
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
)
from academy.engine import guard
from academy.errors import OutOfRange

_LEFT, _RIGHT, _TOP, _FOOT = 40.0, WIDTH - 8.0, 40.0, 220.0
_ROWS = 9  # of the table


@dataclass(frozen=True, slots=True)
class StackView:
    """Losses [% of the crop] by piece over the values of a control; one marked value.

    ``values`` rise; every piece has one loss for each of them.
    """

    values: Values
    pieces: Mapping[str, Values]
    marked: float

    def __post_init__(self) -> None:
        for name, losses in self.pieces.items():
            guard.not_negative(name, np.asarray(losses, dtype=float))
            if len(losses) != len(self.values):
                raise OutOfRange("must_rise", name="values", value=len(losses))


def _bands(view: StackView, x: Scale, y: Scale, ids: str) -> list[str]:
    xs = x.all(view.values)
    layers = [np.asarray(each, dtype=float) for each in view.pieces.values()]
    tops = list(accumulate(layers, initial=np.zeros(len(xs))))
    parts = []
    for piece, low, high in zip(view.pieces, tops[:-1], tops[1:], strict=True):
        ring = points([*xs, *reversed(xs)], [*y.all(high), *reversed(y.all(low))])
        parts.append(tag("polygon", points=ring, fill=fill(ids, OF_PIECE[piece])))
        parts.append(polyline(xs, y.all(high), stroke_width=0.7))
    parts.append(polyline(xs, y.all(tops[-1]), stroke_width=2.2))
    return parts


def _key(names: Mapping[str, str], top: float, ids: str) -> tuple[str, float]:
    parts = []
    for row, (piece, name) in enumerate(names.items()):
        y = top + 22 * row
        parts.append(hatched(ids, OF_PIECE[piece], _LEFT, y, 22, 14))
        parts.append(text(_LEFT + 30, y + 12, name))
    return "".join(parts), top + 22 * len(names)


def _table(
    view: StackView, names: Mapping[str, str], words: Mapping[str, str], decimals: int
) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
    chosen = np.linspace(0, len(view.values) - 1, _ROWS).round().astype(int)
    rows = []
    for place in sorted(set(chosen.tolist())):
        losses = [float(view.pieces[piece][place]) for piece in names]
        cells = [plain(loss, 2) for loss in (*losses, sum(losses))]
        rows.append((plain(float(view.values[place]), decimals), *cells))
    return (words["x"], *names.values(), words["total"]), rows


def loss_stack(
    view: StackView,
    names: Mapping[str, str],
    words: Mapping[str, str],
    decimals: int = 1,
    ids: str = "stack",
) -> Drawing:
    """The bands, their key and the same losses as a table.

    ``names``: the pieces in the order of the bands. ``words``: title, description, x, y
    (axis titles with units), total, marked (what the stake says).
    """
    totals = np.sum([np.asarray(each, dtype=float) for each in view.pieces.values()], 0)
    low, high = float(view.values[0]), float(view.values[-1])
    x, y = Scale(low, high, _LEFT, _RIGHT), Scale(0.0, float(totals.max()), _FOOT, _TOP)
    stake = x(view.marked)
    used = [OF_PIECE[piece] for piece in names]
    key, foot = _key(names, _FOOT + 54, ids)
    body = [
        hatches(ids, *used),
        text(4, 16, words["y"]),
        upward(y, _LEFT, _RIGHT, marked(0.0, y.high, 4, plain)),
        *_bands(view, x, y, ids),
        group(
            line(stake, _TOP - 4, stake, _FOOT, stroke_width=1.6),
            halo(
                min(max(stake, 40), WIDTH - 40),
                _TOP - 8,
                words["marked"],
                anchor="middle",
                weight="bold",
            ),
            class_="yours",
        ),
        across(x, _FOOT, marked(low, high, 5, plain)),
        text(_RIGHT, _FOOT + 40, words["x"], anchor="end"),
        key,
    ]
    head, rows = _table(view, names, words, decimals)
    return drawing(ids, words, (), foot + 8, body, head, rows)
