"""Tables in and out: CSV and XLSX as people send them, sniffed and limited. Knows no Django.

Text that nothing but spaces parts (pasted from a PDF or a web page) is for `calc.reading`, which
this room cannot know; `judging.imports` puts the two together.
"""

from teamops.tabular.cells import Cell
from teamops.tabular.read import read_file
from teamops.tabular.records import (
    LONGEST_CELL,
    MOST_BYTES,
    MOST_COLUMNS,
    MOST_ROWS,
    Table,
    Unreadable,
    table,
)
from teamops.tabular.text import split
from teamops.tabular.write import csv_bytes, xlsx_bytes

__all__ = [
    "LONGEST_CELL",
    "MOST_BYTES",
    "MOST_COLUMNS",
    "MOST_ROWS",
    "Cell",
    "Table",
    "Unreadable",
    "csv_bytes",
    "read_file",
    "split",
    "table",
    "xlsx_bytes",
]
