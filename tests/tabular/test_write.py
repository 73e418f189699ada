"""Tables out and in again: the same text, and nothing that a spreadsheet would reckon with."""

import csv
import io
from datetime import date
from decimal import Decimal

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teamops.tabular import csv_bytes, read_file, xlsx_bytes

DANGEROUS = ("=1+1", "+1", "-1+2", "@sum", "\t=1", "\r=1", "=cmd|' /C calc'!A0", "'=1", "''-x")
SIGNS = st.sampled_from(list("=+-@\t\r',;|\"\n 8.5½ß日"))
TEXT = st.one_of(
    st.text(SIGNS, max_size=8),
    st.text(st.characters(exclude_categories=["Cs", "Cc", "Co", "Cn"]), max_size=12),
)


def square(rows: list[list[str]], width: int) -> list[list[str]]:
    return [(row + [""] * width)[:width] for row in rows]


TABLES = st.integers(1, 4).flatmap(
    lambda width: st.tuples(
        st.lists(st.text("abc", min_size=1, max_size=5), min_size=width, max_size=width),
        st.lists(st.lists(TEXT, max_size=width), max_size=5).map(lambda rows: square(rows, width)),
    )
)


def trimmed(rows: list[list[str]]) -> list[list[str]]:
    """Without the rows at the end that say nothing, which nobody can see."""
    while rows and not any(cell.strip() for cell in rows[-1]):
        rows = rows[:-1]
    return rows


@settings(max_examples=80, deadline=None)
@given(TABLES)
def test_csv_comes_back_as_it_was(table):
    headings, rows = table
    (read,) = read_file(csv_bytes(headings, rows), "out.csv")
    assert [list(row) for row in read.rows] == trimmed([headings, *rows])


@settings(max_examples=25, deadline=None)
@given(TABLES)
def test_xlsx_comes_back_as_it_was(table):
    headings, rows = table
    (read,) = read_file(xlsx_bytes({"S": (headings, rows)}), "out.xlsx")
    # a workbook's text knows one way to end a line
    expected = [[cell.replace("\r\n", "\n").replace("\r", "\n") for cell in row] for row in rows]
    got = [[cell.replace("\r\n", "\n").replace("\r", "\n") for cell in row] for row in read.rows]
    assert got == trimmed([headings, *expected])


@pytest.mark.outside("computed: the standard library's csv module reads what we wrote")
def test_csv_is_what_the_library_reads():
    data = csv_bytes(["a", "b"], [["x,y", 'the 12" cup'], ["", Decimal("8.50")]])
    assert data.startswith(b"\xef\xbb\xbf")
    rows = list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))
    assert rows == [["a", "b"], ["x,y", 'the 12" cup'], ["", "8.5"]]


@pytest.mark.parametrize("text", DANGEROUS)
def test_no_cell_of_a_csv_begins_as_a_formula(text):
    data = csv_bytes([text], [[text]])
    for row in csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")):
        assert row[0].startswith("'")
    (read,) = read_file(data, "out.csv")
    assert [row[0] for row in read.rows] == [text, text]


@pytest.mark.outside("computed: openpyxl finds text where we wrote text, and numbers as numbers")
@pytest.mark.parametrize("text", DANGEROUS)
def test_no_cell_of_a_workbook_is_a_formula(text):
    rows = [[text, Decimal("-3.5"), -2, date(2025, 5, 3)]]
    data = xlsx_bytes({"S": (["a", "b", "c", "d"], rows)})
    sheet = openpyxl.load_workbook(io.BytesIO(data)).active
    cells = list(sheet[2])
    assert cells[0].data_type == "s"
    assert cells[0].value[0] == "'"
    assert [cell.data_type for cell in cells[1:]] == ["n", "n", "d"]
    assert cells[1].value == -3.5
    assert read_file(data, "out.xlsx")[0].rows[1][1:] == ("-3.5", "-2", "2025-05-03")


def test_names_of_sheets_are_made_to_fit():
    long = "Spring: a contest / with a very long name"
    data = xlsx_bytes({long: (["a"], []), f"{long}!": (["b"], []), "'": (["c"], [])})
    names = openpyxl.load_workbook(io.BytesIO(data)).sheetnames
    assert names == ["Spring a contest  with a very l", "Spring a contest  with a very 2", "Sheet"]


def test_what_no_spreadsheet_can_hold_is_left_out():
    (read,) = read_file(xlsx_bytes({"S": (["a"], [["x\0y\x07z"]])}), "out.xlsx")
    assert read.rows[1] == ("xyz",)
