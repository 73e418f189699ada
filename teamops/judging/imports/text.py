"""Tables from files and from pasted text, ragged or not."""

import csv

from teamops.calc.reading.layout import to_columns
from teamops.calc.reading.split import cut, lines_of, separator_of
from teamops.tabular import MOST_BYTES, Table, Unreadable, split, table
from teamops.tabular import read_file as read_sheets

PASTED = "pasted text"


def read_file(data: bytes, name: str) -> tuple[Table, ...]:
    """
    The tables in a file; a text that no sign parts is read as pasted text is.

    Refuses as `tabular.read_file` does.
    """
    found = read_sheets(data, name)
    if len(found) == 1 and len(found[0].rows[0]) == 1 and len(found[0].rows) > 1:
        ragged = _ragged("\n".join(row[0].replace("\n", " ") for row in found[0].rows), name)
        return (ragged,) if len(ragged.rows[0]) > 1 else found
    return found


def read_text(text: str, name: str = PASTED) -> Table:
    """
    Pasted text as a table: by the sign that parts its cells, else by how its columns stand.

    A row keeps its line's number. Refuses (Unreadable) what is empty or too long.
    """
    if len(text) > MOST_BYTES // 4:
        raise Unreadable("This is too long to paste. Save it as a file and bring that.")
    if not text.strip():
        raise Unreadable("Nothing was pasted.")
    if "\t" in text or ";" in text or "," in text or "|" in text:
        found = split(text.replace("\r\n", "\n").replace("\r", "\n"), name)
        if found is not None and not _has_bars(text):
            return found
    return _ragged(text, name)


def _has_bars(text: str) -> bool:
    """Whether it is a table drawn with bars, whose outer ones are no cells."""
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    return sum(line.startswith("|") and line.endswith("|") for line in lines) > len(lines) // 2


def _ragged(text: str, name: str) -> Table:
    lines = lines_of(text)
    try:
        cuts = cut(lines, separator_of(lines))
    except csv.Error as error:  # a cell in quotes without end
        raise Unreadable("This text cannot be parted into cells. Save it as a file.") from error
    rows: list[list[str]] = []
    for one, cells in zip(cuts, to_columns(cuts), strict=True):
        rows += [[] for _ in range(one.at - 1 - len(rows))]
        rows.append(cells)
    found = table(name, rows)
    if not found.rows:
        raise Unreadable("Nothing was pasted.")
    return found
