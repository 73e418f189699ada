"""Workbooks of a spreadsheet: looked over before they are unpacked, then read as text."""

import re
import warnings
from collections.abc import Callable, Iterator
from io import BytesIO
from zipfile import ZipFile

from openpyxl import load_workbook

from teamops.tabular.cells import cell_text
from teamops.tabular.records import (
    MOST_COLUMNS,
    MOST_ROWS,
    MOST_SHEETS,
    Table,
    Unreadable,
    table,
)

MOST_UNPACKED = 60_000_000  # bytes; 20,000 rows of 30 columns are a third of that
MOST_PARTS = 2_000
STEEPEST = 200  # times smaller; a real sheet of equal rows comes to some 60
SMALL = 1_000_000  # bytes below which no ratio harms
HAS_FORMULA = re.compile(rb"<f[ />]")
BROKEN = (
    "This workbook cannot be opened: it is broken, or locked with a password. "
    "Open it in your spreadsheet and save it again as XLSX or CSV."
)


def read_book(data: bytes) -> tuple[Table, ...]:
    """
    The sheets of an XLSX file that hold anything.

    A cell with a formula gives the value that was saved with it; where none was, the formula
    itself, which then stands out as what it is. Refuses (Unreadable) what would unpack to too
    much, and what is no workbook.
    """
    parts = _looked_over(data)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # parts that are passed over, such as validations
        try:
            read = _sheets(data, parts)
        except Unreadable:
            raise
        except Exception as error:  # whatever a broken file makes of the parser
            raise Unreadable(BROKEN) from error
    if not read:
        raise Unreadable("This workbook is empty: no sheet of it holds anything.")
    return read


def _looked_over(data: bytes) -> frozenset[str]:
    """The names of the sheets' parts that hold formulas, after the sizes of all were checked."""
    try:
        with ZipFile(BytesIO(data)) as packed:
            infos = packed.infolist()
            _check_sizes([(info.file_size, info.compress_size) for info in infos])
            names = {info.filename for info in infos}
            if "xl/workbook.xml" not in names:
                raise Unreadable(_what_else(names))
            sheets = [name for name in names if name.startswith("xl/worksheets/")]
            return frozenset(name for name in sheets if HAS_FORMULA.search(packed.read(name)))
    except Unreadable:
        raise
    except Exception as error:  # broken, locked, or packed in a way that nobody unpacks
        raise Unreadable(BROKEN) from error


def _check_sizes(sizes: list[tuple[int, int]]) -> None:
    unpacked = sum(size for size, _ in sizes)
    steep = any(size > SMALL and size > STEEPEST * max(packed, 1) for size, packed in sizes)
    if unpacked > MOST_UNPACKED or steep or len(sizes) > MOST_PARTS:
        raise Unreadable(
            f"This workbook unpacks to {unpacked / 1e6:,.0f} MB, which no score table needs. "
            "Copy the rows into a new one, or save it as CSV."
        )


def _what_else(names: set[str]) -> str:
    if any(name.startswith("word/") for name in names):
        return "This is a text document, not a table. Copy its table and paste it instead."
    if "content.xml" in names and "mimetype" in names:
        return "This is an OpenDocument file. Save it as XLSX or CSV and bring that."
    if "xl/workbook.bin" in names:
        return "This is a binary workbook. Save it as XLSX or CSV and bring that."
    return "This is a packed archive, not a table. Unpack it and bring the file that is in it."


def _sheets(data: bytes, formulas: frozenset[str]) -> tuple[Table, ...]:
    book = load_workbook(BytesIO(data), read_only=True, data_only=True)
    try:
        names = [sheet.title for sheet in book.worksheets]
        if len(names) > MOST_SHEETS:
            raise Unreadable(f"This workbook has {len(names)} sheets: at most {MOST_SHEETS}.")
        bare = _Bare(data) if formulas else None
        read = []
        for sheet in book.worksheets:
            rows = _rows(sheet, bare.formulas(sheet.title) if bare else None)
            one = table(sheet.title, rows)
            if one.rows:
                read.append(one)
        return tuple(read)
    finally:
        book.close()


class _Bare:
    """The same workbook with its formulas, opened only where there are some."""

    def __init__(self, data: bytes) -> None:
        self.book = load_workbook(BytesIO(data), read_only=True, data_only=False)

    def formulas(self, title: str) -> Callable[[], Iterator[tuple[object, ...]]]:
        sheet = self.book[title]
        sheet.reset_dimensions()
        return lambda: sheet.iter_rows(values_only=True)


def _rows(
    sheet: object, bare: Callable[[], Iterator[tuple[object, ...]]] | None
) -> list[list[str]]:
    """The rows of a sheet as text, up to its last one that says something."""
    sheet.reset_dimensions()  # type: ignore[attr-defined]  # what a file says of itself may lie
    with_formulas = bare() if bare else None
    rows: list[list[str]] = []
    blank = 0
    for values in sheet.iter_rows(values_only=True):  # type: ignore[attr-defined]
        row = [cell_text(value) for value in values]
        if with_formulas is not None:
            row = _told(row, next(with_formulas, ()))
        while row and not row[-1]:
            row.pop()
        if not row:
            blank += 1
            continue
        if len(rows) + blank >= MOST_ROWS:
            raise Unreadable(f"“{sheet.title}” has more than {MOST_ROWS:,} rows.")  # type: ignore[attr-defined]
        if len(row) > MOST_COLUMNS:
            raise Unreadable(f"Row {len(rows) + blank + 1} has {len(row)} columns: "
                             f"at most {MOST_COLUMNS}.")  # fmt: skip
        rows += [[] for _ in range(blank)]
        rows.append(row)
        blank = 0
    return rows


def _told(row: list[str], formulas: tuple[object, ...]) -> list[str]:
    """A row where a formula without a saved value is shown as the formula."""
    for index, formula in enumerate(formulas[: len(row)]):
        if not row[index] and formula is not None:
            text = getattr(formula, "text", formula)
            row[index] = str(text) if str(text).startswith("=") else f"={text}"
    return row
