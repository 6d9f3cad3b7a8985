"""Real bytes as spreadsheets and editors write them; expected rows are read by eye."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from academy.catalog import roster as spelling
from academy.catalog.toml_files import parse
from academy.errors import AcademyError, ContentError
from academy.exchange import roster_csv

HEADINGS = spelling.load().headings()
MARK = b"\xef\xbb\xbf"
UTF_8 = b"I\xc3\xb1aki N\xc3\xba\xc3\xb1ez"
CP1252 = b"I\xf1aki N\xfa\xf1ez"
TABBED = "Nombre\tRol\tIdioma\r\nIñaki Núñez\ttemporada\tespañol"
NUNEZ = [("Iñaki Núñez", "temporada", "español")]


def read(data):
    return roster_csv.read(data, HEADINGS)


def people(data):
    return [tuple(row.cells.values()) for row in read(data).rows]


def key_of(data):
    with pytest.raises(AcademyError) as refused:
        read(data)
    return refused.value.key


@pytest.mark.parametrize(
    "data",
    [
        # UTF-8: ñ is C3 B1, ú is C3 BA
        b"Nombre,Funciones,Idioma\n" + UTF_8 + b",temporada,espa\xc3\xb1ol\n",
        # the same with its mark, semicolons, CRLF, no line end at the end
        MARK + b"Nombre;Funciones;Idioma\r\n" + UTF_8 + b";temporada;espa\xc3\xb1ol",
        # Windows-1252: one byte each, F1 and FA; semicolons, as in Spain
        b"Nombre;Funciones;Idioma\r\n" + CP1252 + b";temporada;espa\xf1ol\r\n",
        # the same with tabs
        b"Nombre\tFunciones\tIdioma\n" + CP1252 + b"\ttemporada\tespa\xf1ol\n",
        # old line ends of CR alone, English headings, everything quoted
        b'"Name","Roles","Language"\r"' + CP1252 + b'","temporada","espa\xf1ol"\r',
        # a line that announces the semicolon, headings in capitals
        b"sep=;\r\nNOMBRE;FUNCI\xd3N;IDIOMA\r\n" + CP1252 + b";temporada;espa\xf1ol",
        # "Unicode text": UTF-16, little and big end first, tabs
        f"\ufeff{TABBED}".encode("utf-16-le"),
        f"\ufeff{TABBED}".encode("utf-16-be"),
        # empty columns at the end, spaces round everything, blank lines between
        b"\n Name ,Role, language ,,\n,,,,\n\n  " + UTF_8
        + b" , temporada,espa\xc3\xb1ol,,\n,,,,\n",
        # a column that is not ours in between
        b"Nombre,Tel\xc3\xa9fono,Funciones,Idioma\n" + UTF_8
        + b",555 0100,temporada,espa\xc3\xb1ol\n",
    ],
)  # fmt: skip
def test_one_roster_in_many_files(data):
    assert people(data) == NUNEZ


def test_rows_are_counted_as_the_spreadsheet_counts_them():
    data = b'\nName;Crew\n\nAda Marsh;"a\nb"\n;\nEli Marsh;North\n'
    rows = read(data).rows
    # 1 blank, 2 headings, 3 blank, 4 Ada (a line break in the cell), 5 blank, 6 Eli
    assert [(row.number, row.cells["name"]) for row in rows] == [
        (4, "Ada Marsh"),
        (6, "Eli Marsh"),
    ]
    assert rows[0].cells["crew"] == "a\nb"


def test_quoted_marks_and_delimiters_stay_in_the_cell():
    data = b'Name,Crew\n"Ames, Hedda","the ""old"" yard"\n'
    assert people(data) == [("Ames, Hedda", 'the "old" yard')]


def test_a_short_row_has_empty_cells():
    data = b"Name,Roles,Language\nAda Marsh\n"
    assert people(data) == [("Ada Marsh", "", "")]


def test_a_column_that_is_not_ours_is_named():
    assert read(b"Name,Phone,Shoe size\nAda,1,2\n").unread == ("Phone", "Shoe size")


@pytest.mark.parametrize(
    ("data", "key"),
    [
        (b"", "roster_empty"),
        (b"\xef\xbb\xbf", "roster_empty"),
        (b" \n,,\n", "roster_empty"),
        (b"Name,Roles\n", "roster_empty"),
        (b"Person's phone\n5550100\n", "roster_no_names"),
        (b"Ada Marsh,hire\nEli Marsh,lead\n", "roster_no_names"),
        (b"Name,Nombre\nAda,Ada\n", "roster_column_twice"),
        (b"PK\x03\x04\x14\x00\x06\x00", "roster_is_a_workbook"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1", "roster_is_a_workbook"),
        (b"Name\n\x81\x8d\n", "roster_not_text"),  # no letters of Windows-1252
        ("Name\nAda\n".encode("utf-16-le"), "roster_not_text"),  # without its mark
        (b"\xff\xfeN", "roster_not_text"),
        (b'Name\n"Ada\nEli\n', "roster_row_broken"),
        (b'Name\n"Ada "the" Marsh"\n', "roster_row_broken"),
    ],
)
def test_what_is_no_roster_is_refused_by_its_reason(data, key):
    assert key_of(data) == key


def test_a_quote_that_never_ends_is_named_by_the_row_where_it_begins():
    with pytest.raises(AcademyError) as refused:
        read(b'Name,Crew\nAda,North\nEli,"South\nUna,North\nIda,North\n')
    assert refused.value.values["row"] == 3


def test_sizes_are_bounded():
    least = b"Name\n" + b"A\n" * roster_csv.MOST_ROWS
    assert len(read(least).rows) == roster_csv.MOST_ROWS
    assert key_of(least + b"A\n") == "roster_too_many_rows"
    assert key_of(b"x" * (roster_csv.MOST_BYTES + 1)) == "roster_too_large"
    assert key_of(b"Name\n" + b"x" * 140_000) == "roster_cell_too_long"
    long = read(b"Name\n" + b"x" * (roster_csv.LONGEST_CELL + 1))
    assert [one.key for one in long.problems] == ["roster_cell_too_long"]


def test_a_cell_beyond_the_headings_is_named():
    found = read(b"Name,Crew\nAmes, Hedda,North\n").problems
    assert [(one.key, one.values["row"], one.values["value"]) for one in found] == [
        ("roster_cell_without_heading", 2, "North")
    ]


@pytest.mark.parametrize("cell", ["=1+1", "+34 555", "-5", "@SUM(A1)", "'=x", "''+x"])
def test_nothing_written_is_a_formula(cell):
    data = roster_csv.write(["Name"], [[cell]])
    assert data.startswith(b"\xef\xbb\xbf")
    (written,) = list(csv.reader(io.StringIO(data.decode("utf-8-sig"))))[1]
    assert written[0] == "'"
    assert people(data) == [(cell,)]


@given(
    st.lists(
        st.text(
            st.characters(codec="utf-8", exclude_categories=["Cc", "Cf", "Zl", "Zp"])
            | st.sampled_from("=+-@'\",;ñÁ"),
            min_size=1,
            max_size=30,
        ).map(str.strip).filter(bool),
        min_size=1,
        max_size=6,
    )
)  # fmt: skip
def test_what_is_written_is_read_back(names):
    data = roster_csv.write(["Name", "Crew"], [[name, "x"] for name in names])
    assert people(data) == [(name, "x") for name in names]


def test_no_word_of_the_roster_means_two_things():
    words = spelling.load()
    assert set(words.headings().values()) == set(spelling.COLUMNS)
    text = (
        "sample = []\nroles = {a = {word = {en = 'x', es = 'Y!'}, also = ['z']},"
        " b = {word = {en = 'w', es = 'v'}, also = ['y']}}\nlanguage = {}\nunits = {}\n"
        + "".join(
            f"[columns.{c}]\nheading = {{en = '{c}1', es = '{c}2'}}\n"
            for c in spelling.COLUMNS
        )
    )
    with pytest.raises(ContentError) as refused:
        parse(spelling.RosterWords, text, "roster.toml")
    assert "y" in str(refused.value.values["problem"])
