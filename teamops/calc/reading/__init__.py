"""A list of results as somebody pasted it, ragged, read into rows and columns; all of it a guess.

The guess is data: every column's meaning and every line can be put right and applied again.
"""

from teamops.calc.reading.ours import Candidate, Ours, find_ours, plain_name
from teamops.calc.reading.read import field_rows, out_of, read
from teamops.calc.reading.records import (
    MOST_CHARACTERS,
    MOST_COLUMNS,
    MOST_ROWS,
    Column,
    FieldRow,
    Kind,
    Line,
    Meaning,
    Reading,
    Separator,
    Sure,
    Unreadable,
)
from teamops.calc.reading.vocabulary import criterion_named, plain_words

__all__ = [
    "MOST_CHARACTERS",
    "MOST_COLUMNS",
    "MOST_ROWS",
    "Candidate",
    "Column",
    "FieldRow",
    "Kind",
    "Line",
    "Meaning",
    "Ours",
    "Reading",
    "Separator",
    "Sure",
    "Unreadable",
    "criterion_named",
    "field_rows",
    "find_ours",
    "out_of",
    "plain_name",
    "plain_words",
    "read",
]
