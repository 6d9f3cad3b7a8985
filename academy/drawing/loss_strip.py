"""Where the grain was lost: one bar per setting, its pieces told by hatch and word."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate

from academy.drawing.hatch import OF_PIECE, hatched, hatches
from academy.drawing.svg import (
    SMALL,
    Drawing,
    drawing,
    group,
    line,
    text,
    text_width,
    wrap,
)
from academy.engine import guard
from academy.errors import OutOfRange

_LEFT, _BAR, _STEP, _COLUMN, _RIGHT = 6.0, 28.0, 62.0, 64.0, 354.0


@dataclass(frozen=True, slots=True)
class LossRow:
    """One setting's losses as shares of the standing crop [1]; pieces add to total."""

    label: str
    pieces: Mapping[str, float]
    total: float
    yours: bool = False


def _checked(row: LossRow, names: Mapping[str, str]) -> None:
    for piece in names:
        guard.not_negative(piece, float(row.pieces[piece]))
    apart = sum(row.pieces.values()) - row.total
    if set(row.pieces) != set(names) or abs(apart) > 1e-9:
        raise OutOfRange("pieces_must_add_up", name=row.label, value=row.total)


def _class(row: LossRow) -> str | None:
    return "yours" if row.yours else None


def _bar(
    row: LossRow,
    names: Mapping[str, str],
    top: float,
    scale: float,
    total: str,
    ids: str,
) -> str:
    marks = f"{ids}-y" if row.yours else ids
    widths = [row.pieces[piece] * scale for piece in names]
    starts = accumulate(widths, initial=_LEFT)
    pieces = [
        hatched(marks, OF_PIECE[piece], x, top + 22, width, _BAR)
        for piece, x, width in zip(names, starts, widths, strict=False)
        if width > 0
    ]
    end = _LEFT + row.total * scale
    edge = line(_LEFT, top + 18, _LEFT, top + 26 + _BAR, stroke_width=2.4)
    return group(
        text(_LEFT, top + 14, row.label, weight="bold"),
        *pieces,
        edge,
        text(end + 7, top + 22 + _BAR / 2 + 5, total, weight="bold"),
        class_=_class(row),
    )


def _column(index: int, rows: Sequence[LossRow]) -> float:
    return _RIGHT - _COLUMN * (len(rows) - 1 - index)


def _legend_head(rows: Sequence[LossRow], unit: str, top: float) -> tuple[str, float]:
    cells = [wrap(row.label, _COLUMN - 2, SMALL) for row in rows]
    deepest = max(len(cell) for cell in cells)
    foot = top + 15.6 * deepest
    parts = [text(_LEFT, foot, unit, SMALL, class_="soft")]
    for index, (row, cell) in enumerate(zip(rows, cells, strict=True)):
        y = foot - 15.6 * (len(cell) - 1)
        x, pen = _column(index, rows), _class(row)
        parts.append(text(x, y, cell, SMALL, anchor="end", class_=pen))
    parts.append(line(_LEFT, foot + 6, _RIGHT, foot + 6, stroke_width=1.6))
    return "".join(parts), foot + 6


def _legend_line(
    name: str,
    hatch: str,
    cells: Sequence[str],
    rows: Sequence[LossRow],
    top: float,
    ids: str,
) -> tuple[str, float]:
    lines = wrap(name, _column(0, rows) - 46 - 36)
    foot = top + 8 + 16.8 * len(lines)
    parts = [
        hatched(ids, hatch, _LEFT, top + 6, 22, 14),
        text(36, top + 18, lines),
    ]
    for index, (row, cell) in enumerate(zip(rows, cells, strict=True)):
        x = _column(index, rows)
        parts.append(text(x, top + 18, cell, anchor="end", class_=_class(row)))
    parts.append(line(_LEFT, foot, _RIGHT, foot, class_="soft", stroke_width=0.6))
    return "".join(parts), foot


def _definitions(ids: str) -> list[str]:
    used = OF_PIECE.values()
    return [hatches(ids, *used), hatches(f"{ids}-y", *used, yours=True)]


def _scale(rows: Sequence[LossRow], totals: Sequence[str]) -> float:
    room = _RIGHT - _LEFT - 10 - 1.1 * max(text_width(each) for each in totals)
    most = max(row.total for row in rows)
    return room / most if most > 0 else 0.0


def loss_strip(
    rows: Sequence[LossRow],
    piece_names: Mapping[str, str],
    words: Mapping[str, str],
    show: Callable[[float], str],
    ids: str = "loss",
) -> Drawing:
    """Bars of loss to one scale, with a hatched key that holds every value.

    ``piece_names`` gives order and names of the pieces (keys of ``hatch.OF_PIECE``);
    ``show`` writes a share in ``words["unit"]``. Other words: title, description,
    piece, total. Raises OutOfRange when pieces are negative or miss the total.
    """
    for row in rows:
        _checked(row, piece_names)
    totals = [f"{show(row.total)} {words['unit']}" for row in rows]
    scale = _scale(rows, totals)
    body = _definitions(ids)
    for k, (row, total) in enumerate(zip(rows, totals, strict=True)):
        body.append(_bar(row, piece_names, k * _STEP, scale, total, ids))
    part, foot = _legend_head(rows, words["unit"], len(rows) * _STEP + 12)
    body.append(part)
    table = []
    for piece, name in piece_names.items():
        cells = [show(row.pieces[piece]) for row in rows]
        part, foot = _legend_line(name, OF_PIECE[piece], cells, rows, foot, ids)
        body.append(part)
        table.append((name, *cells))
    table.append((words["total"], *[show(row.total) for row in rows]))
    spoken = [f"{r.label}: {t}." for r, t in zip(rows, totals, strict=True)]
    head = (f"{words['piece']} ({words['unit']})", *[row.label for row in rows])
    return drawing(ids, words, spoken, foot + 6, body, head, table)
