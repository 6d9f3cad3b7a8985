"""The roster as CSV: bytes in, plain rows out, and rows to bytes.

Read is what spreadsheets and editors write: UTF-8 with or without its mark, UTF-16 with
one, Windows-1252; commas, semicolons or tabs; any line ends; a ``sep=`` line; blank
lines; empty columns at the end. A cell that a spreadsheet would take for a formula is
written with an apostrophe before it, and read without it.
"""

import csv
import io
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from academy.catalog.roster import fold
from academy.errors import AcademyError, NotUnderstood, OutOfRange

MOST_BYTES = 200_000
MOST_ROWS = 500
LONGEST_CELL = 300
_DELIMITERS = (",", ";", "\t")
_WORKBOOKS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
_UTF16 = (b"\xff\xfe", b"\xfe\xff")
_SEP = re.compile(r'"?sep=([,;\t])"?\n', re.IGNORECASE)
_FORMULA = re.compile(r"'*[=+\-@\t\r\n]")
_UNSEEN = dict.fromkeys(map(ord, "\ufeff\u200b\u200e\u200f\u2060\u00ad"))

Record = tuple[int, list[str]]


@dataclass(frozen=True, slots=True)
class Row:
    """One line of people: its number as the spreadsheet counts, cells by column."""

    number: int
    cells: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class RosterFile:
    """Rows that could be read, and what could not.

    ``headings`` are the columns' headings as the file spells them; ``unread`` names
    columns that are none of ours.
    """

    rows: tuple[Row, ...]
    headings: Mapping[str, str]
    unread: tuple[str, ...]
    problems: tuple[AcademyError, ...]


def read(data: bytes, known: Mapping[str, str]) -> RosterFile:
    """Rows of a file; ``known`` maps folded headings to columns.

    Problems of single rows are collected. Raises NotUnderstood and OutOfRange for a
    file that is none, has no column of names, or is too large.
    """
    head, *people = _cut(_text(data), known)
    if not people:
        raise NotUnderstood("roster_empty")
    if len(people) > MOST_ROWS:
        raise OutOfRange("roster_too_many_rows", value=len(people), most=MOST_ROWS)
    places = _places(head, known)
    return RosterFile(
        rows=tuple(_row(record, places) for record in people),
        headings={column: head[1][place] for column, place in places.items()},
        unread=tuple(
            cell for cell in head[1] if cell and known.get(fold(cell)) not in places
        ),
        problems=tuple(_misfits(people, head[1])),
    )


def write(head: Sequence[str], rows: Sequence[Sequence[str]]) -> bytes:
    """The file: UTF-8 with its mark, commas, CRLF, nothing a formula."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    for row in (head, *rows):
        writer.writerow([harmless(cell) for cell in row])
    return out.getvalue().encode("utf-8-sig")


def harmless(cell: str) -> str:
    """A cell that no spreadsheet takes for a formula.

    >>> harmless("=1+1"), harmless("Ana")
    ("'=1+1", 'Ana')
    """
    return f"'{cell}" if _FORMULA.match(cell) else cell


def meant(cell: str) -> str:
    """What ``harmless`` was given.

    >>> meant("'=1+1"), meant("'tis")
    ('=1+1', "'tis")
    """
    return cell[1:] if cell.startswith("'") and _FORMULA.match(cell) else cell


def _text(data: bytes) -> str:
    if len(data) > MOST_BYTES:
        raise OutOfRange("roster_too_large", value=len(data), most=MOST_BYTES)
    if data.startswith(_WORKBOOKS):
        raise NotUnderstood("roster_is_a_workbook")
    text = _decoded(data)
    if text is None or "\0" in text:
        raise NotUnderstood("roster_not_text")
    return io.StringIO(text, newline=None).read()


def _decoded(data: bytes) -> str | None:
    encodings = ("utf-16",) if data.startswith(_UTF16) else ("utf-8-sig", "cp1252")
    for encoding in encodings:
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    return None


def _cut(text: str, known: Mapping[str, str]) -> list[Record]:
    """The lines of a text, cut where most headings are known; at least one."""
    text, delimiters = _announced(text)
    delimiter = max(delimiters, key=lambda one: _recognised(text, one, known))
    records = list(_records(text, delimiter))
    if not records:
        raise NotUnderstood("roster_empty")
    return records


def _announced(text: str) -> tuple[str, Sequence[str]]:
    """The text without a ``sep=`` line, and the delimiters it may use."""
    found = _SEP.match(text)
    return (text[found.end() :], (found[1],)) if found else (text, _DELIMITERS)


def _recognised(text: str, delimiter: str, known: Mapping[str, str]) -> int:
    """How many headings of the first line we know when it is cut there."""
    try:
        _, head = next(_records(text, delimiter), (1, []))
    except NotUnderstood:
        return 0
    return sum(fold(cell) in known for cell in head)


def _records(text: str, delimiter: str) -> Iterator[Record]:
    """Lines with anything in them and their numbers.

    Raises NotUnderstood, OutOfRange.
    """
    reader = csv.reader(io.StringIO(text), delimiter=delimiter, strict=True)
    number = 0
    while True:
        number += 1
        try:
            cells = next(reader, None)
        except csv.Error as found:
            raise _broken(number, str(found)) from None
        if cells is None:
            return
        cells = [cell.translate(_UNSEEN).strip() for cell in cells]
        if any(cells):
            yield number, cells


def _broken(number: int, why: str) -> AcademyError:
    """Python reads cells of 131,072 characters at most."""
    if "field larger" in why:
        return OutOfRange("roster_cell_too_long", row=number, most=LONGEST_CELL)
    return NotUnderstood("roster_row_broken", row=number)


def _places(head: Record, known: Mapping[str, str]) -> dict[str, int]:
    """Column by place in the line of headings; raises NotUnderstood."""
    places: dict[str, int] = {}
    for place, cell in enumerate(head[1]):
        column = known.get(fold(cell))
        if column in places:
            raise NotUnderstood("roster_column_twice", row=head[0], column=cell)
        if column is not None:
            places[column] = place
    if "name" not in places:
        raise NotUnderstood("roster_no_names", row=head[0])
    return places


def _row(record: Record, places: Mapping[str, int]) -> Row:
    number, cells = record
    return Row(
        number,
        {
            column: meant(cells[place]) if place < len(cells) else ""
            for column, place in places.items()
        },
    )


def _misfits(records: Sequence[Record], head: Sequence[str]) -> Iterator[AcademyError]:
    """Rows with cells that no heading stands over, and cells beyond all measure."""
    for number, cells in records:
        bare = [
            cell
            for place, cell in enumerate(cells)
            if cell and (place >= len(head) or not head[place])
        ]
        if bare:
            yield NotUnderstood(
                "roster_cell_without_heading", row=number, value=bare[0]
            )
        for cell in cells:
            if len(cell) > LONGEST_CELL:
                yield OutOfRange("roster_cell_too_long", row=number, most=LONGEST_CELL)
