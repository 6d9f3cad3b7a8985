"""Tables to a workbook (XLSX) for any spreadsheet; nothing in it is a formula."""

import io
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TypeAlias

import xlsxwriter
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

LONGEST_TITLE = 31
_NOT_IN_TITLES = dict.fromkeys(map(ord, "[]:*?/\\'"), " ")
_OPTIONS = {
    "in_memory": True,
    "strings_to_formulas": False,
    "strings_to_urls": False,
    "strings_to_numbers": False,
}


@dataclass(frozen=True, slots=True)
class Share:
    """A cell in whole per cent: 87 is shown as 87 % and counted as 0.87."""

    per_cent: int


Cell: TypeAlias = str | int | Share | None


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet: lines above, a table with its head, column widths in characters.

    A sheet without a head is lines alone, and then they are wrapped.
    """

    title: str
    lines: tuple[str, ...]
    widths: tuple[int, ...]
    head: tuple[str, ...] = ()
    rows: tuple[tuple[Cell, ...], ...] = ()


@dataclass(frozen=True, slots=True)
class _Looks:
    bold: Format
    head: Format
    wrapped: Format
    share: Format


def workbook(sheets: Sequence[Sheet], made: datetime) -> bytes:
    """The file; the same sheets and moment give the same bytes."""
    out = io.BytesIO()
    with xlsxwriter.Workbook(out, _OPTIONS) as book:
        book.set_properties({"created": made.replace(tzinfo=None, microsecond=0)})
        looks = _Looks(
            bold=book.add_format({"bold": True}),
            head=book.add_format({"bold": True, "bottom": 2, "text_wrap": True}),
            wrapped=book.add_format({"text_wrap": True, "valign": "top"}),
            share=book.add_format({"num_format": "0 %", "valign": "top"}),
        )
        for sheet in sheets:
            _fill(book.add_worksheet(_title(sheet.title)), sheet, looks)
    return out.getvalue()


def _title(text: str) -> str:
    return text.translate(_NOT_IN_TITLES)[:LONGEST_TITLE].strip()


def _fill(page: Worksheet, sheet: Sheet, looks: _Looks) -> None:
    page.set_landscape()
    page.fit_to_pages(1, 0)
    for place, width in enumerate(sheet.widths):
        page.set_column(place, place, width)
    for place, line in enumerate(sheet.lines):
        plain = None if sheet.head else looks.wrapped
        page.write_string(place, 0, line, looks.bold if place == 0 else plain)
    if sheet.head:
        _table(page, sheet, looks, len(sheet.lines) + 1)


def _table(page: Worksheet, sheet: Sheet, looks: _Looks, top: int) -> None:
    for place, word in enumerate(sheet.head):
        page.write_string(top, place, word, looks.head)
    for number, row in enumerate(sheet.rows, start=top + 1):
        for place, cell in enumerate(row):
            _write(page, number, place, cell, looks)
    page.freeze_panes(top + 1, 1)
    page.repeat_rows(top)
    page.autofilter(top, 0, top + max(len(sheet.rows), 1), len(sheet.head) - 1)


def _write(page: Worksheet, row: int, place: int, cell: Cell, looks: _Looks) -> None:
    if isinstance(cell, Share):
        page.write_number(row, place, cell.per_cent / 100, looks.share)
    elif isinstance(cell, str):
        page.write_string(row, place, cell, looks.wrapped)
    elif cell is not None:
        page.write_number(row, place, cell, looks.wrapped)
