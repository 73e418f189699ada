"""What a table is here, and how large one may be."""

from dataclasses import dataclass

MOST_BYTES = 10_000_000
MOST_ROWS = 20_000
MOST_COLUMNS = 200
MOST_SHEETS = 60
LONGEST_CELL = 5_000


class Unreadable(ValueError):  # noqa: N818 - it is what the file is, in words for who brought it
    """The file is not a table that can be read; the words say what it is and what to do."""


@dataclass(frozen=True, slots=True)
class Table:
    """
    One sheet of a file: cells as text, as a person sees them, every row as wide as the widest.

    Rows keep their place in the file, blank ones too, so that a row's number is the one that a
    spreadsheet shows. `name` is the sheet's, or the file's.
    """

    name: str
    rows: tuple[tuple[str, ...], ...]


def table(name: str, rows: list[list[str]]) -> Table:
    """
    Rows made equally wide, without the empty ones and empty columns at the end.

    Refuses (Unreadable) more rows, columns or text in one cell than a table may have.
    """
    while rows and not any(cell.strip() for cell in rows[-1]):
        rows.pop()
    if len(rows) > MOST_ROWS:
        raise Unreadable(f"These are {len(rows):,} rows: at most {MOST_ROWS:,} at once.")
    width = 0
    for number, row in enumerate(rows, start=1):
        width = max(width, _width(row))
        if width > MOST_COLUMNS:
            raise Unreadable(f"Row {number} has {width} columns: at most {MOST_COLUMNS}.")
        longest = max(map(len, row), default=0)
        if longest > LONGEST_CELL:
            raise Unreadable(
                f"A cell in row {number} has {longest:,} characters: at most {LONGEST_CELL:,}."
            )
    return Table(name, tuple((*row[:width], *[""] * (width - len(row))) for row in rows))


def _width(row: list[str]) -> int:
    """How many cells a row has up to its last one that says something."""
    width = len(row)
    while width and not row[width - 1].strip():
        width -= 1
    return width
