"""Workbooks read back with another library than the one that wrote them."""

import io
from datetime import UTC, datetime

import openpyxl

from academy.exchange.workbook import Share, Sheet, workbook

NOW = datetime(2026, 9, 1, 15, 0, tzinfo=UTC)


def written(*sheets):
    return openpyxl.load_workbook(io.BytesIO(workbook(sheets, NOW)))


def test_words_are_words_and_shares_are_numbers_in_per_cent():
    rows = (("=1+1", 3, Share(87), None), ("@SUM(A1)", 0, Share(0), "http://x"))
    book = written(
        Sheet("Jobs", ("Board", "today"), (20, 9), ("A", "B", "C", "D"), rows)
    )
    page = book["Jobs"]
    assert [cell.value for cell in page["A"]][:2] == ["Board", "today"]
    assert [cell.value for cell in page[4]] == ["A", "B", "C", "D"]
    first, second = list(page.iter_rows(min_row=5))
    assert [cell.data_type for cell in first] == ["s", "n", "n", "n"]
    assert [cell.value for cell in first] == ["=1+1", 3, 0.87, None]
    assert first[2].number_format == "0 %"
    assert [cell.value for cell in second] == ["@SUM(A1)", 0, 0, "http://x"]
    assert second[3].hyperlink is None
    assert second[0].data_type == "s"


def test_the_head_stays_in_sight_and_prints_on_every_page():
    page = written(Sheet("P", ("one",), (9,), ("A", "B"), (("x", 1),)))["P"]
    assert page.freeze_panes == "B4"
    assert page.print_title_rows == "$3:$3"
    assert page.auto_filter.ref == "A3:B4"
    assert page.page_setup.orientation == "landscape"


def test_a_title_no_spreadsheet_takes_is_made_one_it_takes():
    book = written(Sheet("Who: where / [when]? " + "x" * 40, ("a",), (9,)))
    (title,) = book.sheetnames
    assert len(title) <= 31
    assert not set(title) & set("[]:*?/\\")


def test_the_same_board_is_the_same_file():
    sheet = Sheet("Jobs", ("Board",), (9,), ("A",), (("x",),))
    assert workbook([sheet], NOW) == workbook([sheet], NOW)
