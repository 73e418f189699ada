"""Files as people send them: what they are decides, whatever they are called."""

import csv
import io
import zipfile
from datetime import date, datetime, time

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teamops.tabular import MOST_BYTES, Unreadable, read_file, xlsx_bytes
from teamops.tabular.book import MOST_UNPACKED

ROWS = [["Contest", "Taste"], ["Dry Creek", "8.5"], ["Straße & Söhne", "9"]]


def rows_of(data: bytes, name: str = "sheets.csv") -> list[list[str]]:
    (table,) = read_file(data, name)
    return [list(row) for row in table.rows]


def as_text(sign: str = ",", rows: list[list[str]] = ROWS) -> str:
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=sign).writerows(rows)
    return out.getvalue()


@pytest.mark.outside("computed: the standard library's csv module writes, we read")
@pytest.mark.parametrize("sign", [",", ";", "\t", "|", "^", "~"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252"])
def test_any_delimiter_and_windows_encoding(sign, encoding):
    assert rows_of(as_text(sign).encode(encoding)) == ROWS


@pytest.mark.outside("computed: the standard library's csv.Sniffer finds the same sign")
@pytest.mark.parametrize("sign", [",", ";", "\t", "|"])
def test_the_sign_is_the_one_that_the_library_finds(sign):
    rows = [[f"Contest {n}", f"2025-05-{n:02}", str(n), str(8 + n % 2)] for n in range(1, 20)]
    text = as_text(sign, rows)
    dialect = csv.Sniffer().sniff(text, ",;\t|")
    assert rows_of(text.encode()) == list(csv.reader(io.StringIO(text), dialect))


@pytest.mark.parametrize(
    ("text", "width"),
    [
        ("Contest;Taste;Texture\nDry Creek;8,5;9,0\nLong Lake;7,5;8,0\n", 3),  # decimal commas
        ("Contest,Note\nDry Creek,wind; rain\nLong Lake,sun\n", 2),  # a sign inside of cells
        ('sep=;\nContest;Taste\n"Dry; Creek";8\n', 2),  # a spreadsheet's own hint
        ("Season 2025\n\nContest,Taste\nDry Creek,8\nLong Lake,9\n", 2),  # a title above
        ('Contest,Taste\n"Dry ""Big"" Creek",8\n"two\nlines",9\n', 2),
        ('Contest,Taste\nthe 12" cup,8\nLong Lake,9\n', 2),
        ('Contest,Taste\n"never closed,8\nLong Lake,9\n' + "Old Mill,7\n" * 60, 2),
    ],
)
def test_what_parts_the_cells(text, width):
    assert {len(row) for row in rows_of(text.encode())} == {width}


def test_rows_keep_their_numbers():
    assert rows_of(b"a,b\n\n1,2\n\n\n") == [["a", "b"], ["", ""], ["1", "2"]]


def test_text_that_no_sign_parts_is_one_column():
    assert rows_of(b"1. Dry Creek 182.5\n2. Long Lake 180\n") == [
        ["1. Dry Creek 182.5"],
        ["2. Long Lake 180"],
    ]


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "empty"),
        (b" \n\n", "empty"),
        (b",,\n,,\n", "empty"),
        (b"%PDF-1.7 ...", "PDF"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "old kind"),
        (b"\x89PNG\r\n\x1a\n", "picture"),
        (b"\xff\xd8\xff\xe0", "picture"),
        (b"\x1f\x8b\x08", "packed"),
        (b"{\\rtf1 hello}", "text document"),
        (b"<html><table><tr><td>1", "web page"),
        (b"<?xml version='1.0'?>", "web page"),
        (b"\x00\x01\x02\x03abc\x00\x00\x00\x05\x06", "no text"),
        (b"\xff\xfea\x00b", "breaks off"),
        (b"PK\x03\x04 not really", "cannot be opened"),
    ],
)
def test_a_file_that_is_not_what_it_claims(data, words):
    for name in ("sheets.csv", "sheets.xlsx", "no name"):
        with pytest.raises(Unreadable, match=words):
            read_file(data, name)


def packed(parts: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in parts.items():
            archive.writestr(name, data)
    return out.getvalue()


@pytest.mark.parametrize(
    ("parts", "words"),
    [
        ({"word/document.xml": b"<w/>"}, "text document"),
        ({"content.xml": b"<o/>", "mimetype": b"x"}, "OpenDocument"),
        ({"xl/workbook.bin": b""}, "binary workbook"),
        ({"sheet.csv": b"a,b"}, "packed archive"),
        ({"xl/workbook.xml": b"<broken"}, "cannot be opened"),
    ],
)
def test_other_packed_files_are_named(parts, words):
    with pytest.raises(Unreadable, match=words):
        read_file(packed(parts), "sheets.xlsx")


def test_fifty_megabytes_are_refused_before_they_are_read():
    with pytest.raises(Unreadable, match="50 MB: at most 10 MB"):
        read_file(b"PK\x03\x04" + bytes(50_000_000 - 4), "sheets.xlsx")
    assert MOST_BYTES == 10_000_000


def test_a_zip_bomb_is_not_unpacked():
    bomb = packed({"xl/workbook.xml": b"<w/>", "xl/worksheets/sheet1.xml": bytes(MOST_UNPACKED)})
    assert len(bomb) < 100_000
    with pytest.raises(Unreadable, match="unpacks to 60 MB"):
        read_file(bomb, "sheets.xlsx")


def rewritten(data: bytes, part: str, old: bytes, new: bytes) -> bytes:
    """A workbook with one part of it changed."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    assert old in parts[part]
    parts[part] = parts[part].replace(old, new, 1)
    return packed(parts)


def test_entities_that_blow_up_are_refused():
    laughs = b'<!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;">]><workbook '
    data = rewritten(xlsx_bytes({"S": (["a"], [["1"]])}), "xl/workbook.xml", b"<workbook ", laughs)
    with pytest.raises(Unreadable, match="cannot be opened"):
        read_file(data, "sheets.xlsx")


def test_a_sheet_that_lies_about_its_size_is_read_as_it_is():
    data = xlsx_bytes({"S": (["a", "b"], [["1", "2"]])})
    data = rewritten(data, "xl/worksheets/sheet1.xml", b'ref="A1:B2"', b'ref="A1:XFD1048576"')
    assert rows_of(data) == [["a", "b"], ["1", "2"]]


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([["x", "y"]] * 20_001, "20,000"),
        ([["x"] * 201], "at most 200"),
        ([["x" * 5_001, "y"]], "5,001 characters"),
    ],
)
def test_tables_have_their_limits(rows, words):
    with pytest.raises(Unreadable, match=words):
        read_file(as_text(",", rows).encode(), "sheets.csv")


def workbook(cells: dict[str, object], merged: str = "") -> bytes:
    book = openpyxl.Workbook()
    for place, value in cells.items():
        book.active[place] = value
    if merged:
        book.active.merge_cells(merged)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


@pytest.mark.outside("computed: openpyxl writes the workbook, we read it")
def test_cells_of_a_workbook_are_as_a_person_sees_them():
    cells = {"A1": "Judge 1", "C1": "Judge 2", "A3": 8.5, "B3": 9.0, "C3": date(2025, 5, 3)}
    cells |= {"D3": datetime.combine(date(2025, 5, 3), time(13, 30)), "E3": True}
    data = workbook(cells | {"F3": 0.1 + 0.2, "G3": time(13, 0), "H3": -3}, merged="A1:B1")
    first, blank, third = rows_of(data, "sheets.xlsx")
    assert first[:4] == ["Judge 1", "", "Judge 2", ""]
    assert set(blank) == {""}
    assert third == ["8.5", "9", "2025-05-03", "2025-05-03 13:30", "TRUE", "0.3", "13:00:00", "-3"]


@pytest.mark.outside("computed: openpyxl writes formulas without values, as a script would")
def test_a_formula_without_its_value_stands_out():
    data = workbook({"A1": "Taste", "B1": "Total", "A2": 8, "B2": "=SUM(A2:A2)"})
    assert rows_of(data, "sheets.xlsx") == [["Taste", "Total"], ["8", "=SUM(A2:A2)"]]


def test_a_formula_gives_the_value_that_was_saved_with_it():
    data = workbook({"A1": "Taste", "B1": "Total", "A2": 8, "B2": "=A2*2"})
    data = rewritten(data, "xl/worksheets/sheet1.xml", b"<f>A2*2</f><v />", b"<f>A2*2</f><v>16</v>")
    assert rows_of(data, "sheets.xlsx") == [["Taste", "Total"], ["8", "16"]]


def test_every_sheet_that_holds_anything_is_a_table():
    data = xlsx_bytes({"Spring": (["a"], [["1"]]), "Empty": ([], []), "Fall": (["a"], [["2"]])})
    assert [table.name for table in read_file(data, "season.xlsx")] == ["Spring", "Fall"]


def test_the_real_extension_does_not_matter():
    assert rows_of(xlsx_bytes({"S": (["a", "b"], [])}), "sheets.csv") == [["a", "b"]]
    assert rows_of(b"a,b\n1,2\n", "sheets.xlsx") == [["a", "b"], ["1", "2"]]


def words_or_tables(data: bytes, name: str) -> str:
    """What is said where a file is refused; nothing where it is read."""
    try:
        tables = read_file(data, name)
    except Unreadable as refusal:
        return str(refusal)
    assert all(len(row) == len(table.rows[0]) for table in tables for row in table.rows)
    return ""


@settings(max_examples=80, deadline=None)
@given(st.one_of(st.binary(max_size=300), st.text('ab1,;\t"\n\r= |', max_size=200).map(str.encode)))
def test_whatever_comes_is_a_table_or_is_refused_in_words(data):
    assert words_or_tables(data, "x.csv")[-1:] in ("", ".")


BOOK = xlsx_bytes({"S": (["a", "b"], [["1", "2"]])})


@settings(max_examples=25, deadline=None)
@given(st.integers(0, len(BOOK) - 1), st.binary(min_size=1, max_size=40))
def test_a_damaged_workbook_is_a_table_or_is_refused_in_words(place, noise):
    data = bytearray(BOOK)
    data[place : place + len(noise)] = noise
    assert words_or_tables(bytes(data), "x.xlsx")[-1:] in ("", ".")
