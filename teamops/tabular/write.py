"""Tables out: CSV that every spreadsheet opens, and XLSX with a sheet for each table."""

import csv
import io
import re
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal

from openpyxl import Workbook
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter

from teamops.tabular.cells import Cell, cell_text, harmless, kept

Rows = Iterable[Sequence[Cell]]
NOT_IN_TITLES = str.maketrans("", "", "[]:*?/\\'")
LONGEST_TITLE = 31
WIDEST = 40
LINE_END = re.compile(r"\r\n?")  # a workbook knows one way to end a line


def csv_bytes(headings: Sequence[str], rows: Rows) -> bytes:
    """
    A table as CSV: UTF-8 with its mark, commas, every cell in quotes.

    Text that would be a formula gets an apostrophe before it; `read_file` takes it off again.
    """
    out = io.StringIO(newline="")
    writer = csv.writer(out, quoting=csv.QUOTE_ALL)
    writer.writerow([harmless(kept(heading)) for heading in headings])
    for row in rows:
        writer.writerow([_text(cell) for cell in row])
    return out.getvalue().encode("utf-8-sig")


def _text(cell: Cell) -> str:
    return harmless(kept(cell)) if isinstance(cell, str) else cell_text(cell)


def xlsx_bytes(sheets: Mapping[str, tuple[Sequence[str], Rows]]) -> bytes:
    """
    A workbook with these sheets by name, each with its headings in bold and kept in sight.

    Numbers and days stay what they are; text that would be a formula gets an apostrophe before
    it, which `read_file` takes off again, and is marked as text.
    """
    book = Workbook()
    book.remove(book.active)
    for title, (headings, rows) in sheets.items():
        sheet = book.create_sheet(_title(title, book.sheetnames))
        widths = [0] * len(headings)
        for number, row in enumerate([headings, *rows], start=1):
            for place, cell in enumerate(row, start=1):
                value = _value(cell)
                if value is None:
                    continue
                target = sheet.cell(number, place, value)
                if isinstance(value, str):
                    target.data_type = "s"  # never a formula, whatever it starts with
                if number == 1:
                    target.font = Font(bold=True)
                if place <= len(widths):
                    widths[place - 1] = max(widths[place - 1], len(str(value)))
        sheet.freeze_panes = "A2"
        for place, width in enumerate(widths, start=1):
            sheet.column_dimensions[get_column_letter(place)].width = min(width, WIDEST) + 2
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _value(cell: Cell) -> str | int | float | Decimal | date | None:
    if not isinstance(cell, str):
        return cell
    return harmless(kept(LINE_END.sub("\n", cell))) or None


def _title(title: str, taken: Sequence[str]) -> str:
    plain = kept(title).translate(NOT_IN_TITLES).strip()[:LONGEST_TITLE] or "Sheet"
    name, times = plain, 1
    while name.casefold() in (other.casefold() for other in taken):
        times += 1
        end = f" {times}"
        name = f"{plain[: LONGEST_TITLE - len(end)]}{end}"
    return name
