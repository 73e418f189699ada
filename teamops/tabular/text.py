"""Tables that are text: which encoding, what parts the cells, and where a row ends."""

import codecs
import csv
import io
from collections import Counter
from collections.abc import Sequence

from teamops.tabular.cells import as_written
from teamops.tabular.records import LONGEST_CELL, MOST_ROWS, Table, Unreadable, table

BOMS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32"),  # begins as UTF-16's does
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
DELIMITERS = "\t;|,\x1f^~"  # where several would do, the first: commas may be decimals
SAMPLE = 400  # rows that tell what parts the cells
ENOUGH = 0.8  # of the rows that come apart have the usual number of cells
LINES_IN_A_CELL = 40  # more than that is a quote that nobody closed


def decode(data: bytes) -> str:
    """
    The text of a file: UTF-8, UTF-16 or UTF-32 by its mark or its look, else Windows-1252.

    Refuses (Unreadable) what is no text.
    """
    for bom, name in BOMS:
        if data.startswith(bom):
            return _decoded(data, name).removeprefix("\ufeff")
    wide = _wide(data[:4096])
    if wide:
        return _decoded(data, wide)
    if b"\0" in data:
        raise Unreadable("This file is not a table: it holds no text. Save it as CSV or XLSX.")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")


def _decoded(data: bytes, encoding: str) -> str:
    try:
        return data.decode(encoding)
    except UnicodeDecodeError as error:
        raise Unreadable(
            "This file says that it is Unicode text and breaks off in the middle. "
            "Save it again as CSV."
        ) from error


def _wide(start: bytes) -> str:
    """UTF-16 without a mark: every other byte of ordinary text is nothing."""
    half = max(len(start) // 2, 1)
    if start[1::2].count(0) > 0.6 * half and start[::2].count(0) < 0.1 * half:
        return "utf-16-le"
    if start[::2].count(0) > 0.6 * half and start[1::2].count(0) < 0.1 * half:
        return "utf-16-be"
    return ""


def delimiter_of(text: str) -> str:
    """What parts the cells of most rows, or nothing where no sign does."""
    sample = "\n".join(text.split("\n", SAMPLE)[:SAMPLE])
    found = [(sign, *_parts(sample, sign)) for sign in DELIMITERS if sign in sample]
    for sign, whole, _ in found:
        if whole == 1:
            return sign
    for sign, _, share in found:
        if share >= ENOUGH:
            return sign
    best = max(found, key=lambda one: one[2], default=("", 0.0, 0.0))
    return best[0] if best[2] >= 0.5 else ""


def _parts(sample: str, sign: str) -> tuple[float, float]:
    """
    Which share of all rows has the usual number of cells, where that is more than one.

    The second share is without some rows of one cell: a title or a remark may well be one.
    """
    widths = Counter(len(row) for row in _rows(sample, sign) if any(cell.strip() for cell in row))
    several = {width: times for width, times in widths.items() if width > 1}
    if not several:
        return 0.0, 0.0
    alone = min(widths[1], sum(several.values()) // 2)
    usual, rows = max(several.values()), widths.total()
    return usual / rows, usual / (rows - alone)


def split(text: str, name: str) -> Table | None:
    """The table that a delimited text is, or None where no sign parts its cells."""
    text = text.replace("\0", "")
    told, _, rest = text.partition("\n")
    if told.lower().startswith("sep=") and len(told.strip("\r")) == 5:  # a spreadsheet's own hint
        return table(name, _cells(rest, told[4]))
    sign = delimiter_of(text)
    return table(name, _cells(text, sign)) if sign else None


def lines(text: str, name: str) -> Table:
    """Every line as one cell, quotes undone."""
    return table(name, [row[:1] or [""] for row in _cells(text.replace("\0", ""), "\x1f")])


def _cells(text: str, sign: str) -> list[list[str]]:
    rows = _rows(text, sign)
    if len(rows) > 2 * MOST_ROWS:
        raise Unreadable(f"These are {len(rows):,} rows: at most {MOST_ROWS:,} at once.")
    return [[as_written(cell) for cell in row] for row in rows]


def _rows(text: str, sign: str) -> list[list[str]]:
    """Records; where a quote is opened and not closed, every line is one."""
    try:
        rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=sign))
    except csv.Error:
        rows = []
    if rows and not _runs_on(rows):
        return rows
    rows = []
    for line in text.splitlines():
        rows.append([cell.strip('"') for cell in line.split(sign)])
    return rows


def _runs_on(rows: Sequence[Sequence[str]]) -> bool:
    return any(
        cell.count("\n") > LINES_IN_A_CELL or len(cell) > 2 * LONGEST_CELL
        for row in rows
        for cell in row
        if len(cell) > LINES_IN_A_CELL
    )
