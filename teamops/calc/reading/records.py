"""What is read from a pasted list: columns with their meaning, lines, and the field they give."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum

MOST_CHARACTERS = 100_000
MOST_ROWS = 2_000
MOST_COLUMNS = 30


class Unreadable(ValueError):  # noqa: N818 - it is what the list is, in words for who pasted it
    """The text is more than one list can be."""


class Separator(StrEnum):
    """What stands between two cells of a line."""

    TAB = "tab"
    PIPE = "pipe"
    SEMICOLON = "semicolon"
    COMMA = "comma"
    SPACES = "spaces"  # two or more
    WORDS = "words"  # single spaces: place, name, numbers
    STACKED = "stacked"  # each cell on a line of its own


class Meaning(StrEnum):
    """What a column says of an entry."""

    PLACE = "place"
    NAME = "name"
    COOK = "cook"
    NUMBER = "number"
    TABLE = "table"
    PART = "part"  # points of a criterion, a judge, a round
    TOTAL = "total"
    NOTE = "note"
    SKIP = "skip"


ONCE = (Meaning.PLACE, Meaning.NUMBER, Meaning.TABLE, Meaning.TOTAL)


class Sure(StrEnum):
    """How sure a guess is: its heading and its cells say so, one of them does, or neither."""

    SURE = "sure"
    LIKELY = "likely"
    GUESS = "guess"


class Kind(StrEnum):
    """What a line is."""

    ENTRY = "entry"
    HEADING = "heading"
    REPEATED = "repeated"  # a page's head, again
    SUM = "sum"  # totals and averages of the field
    WORDS = "words"


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading as printed (or “column 4”), what it means and how sure that is."""

    heading: str
    meaning: Meaning
    sure: Sure
    mark: str = "."


@dataclass(frozen=True, slots=True)
class Line:
    """One line, as many cells as there are columns; `at` is its line in the text, 1 first."""

    at: int
    cells: tuple[str, ...]
    kind: Kind
    kept: bool


@dataclass(frozen=True, slots=True)
class FieldRow:
    """
    One entry as the list has it; what the list does not say is None or empty.

    `parts` are further columns by heading, as printed. `out` is why it is not ranked. `says` is
    what could not be read, in words.
    """

    at: int
    placing: int | None = None
    shared: bool = False
    name: str = ""
    cook: str = ""
    number: str = ""
    table: str = ""
    total: Decimal | None = None
    parts: tuple[tuple[str, str], ...] = ()
    note: str = ""
    out: str = ""
    says: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Reading:
    """A list as it was understood: a guess that can be put right and applied again."""

    separator: Separator
    columns: tuple[Column, ...]
    lines: tuple[Line, ...]

    def with_meanings(self, meanings: Mapping[int, Meaning]) -> "Reading":
        """The same list with other meanings for some columns (0 first), now sure."""
        columns = tuple(
            replace(column, meaning=meanings[index], sure=Sure.SURE)
            if index in meanings and meanings[index] is not column.meaning
            else column
            for index, column in enumerate(self.columns)
        )
        return replace(self, columns=columns)

    def with_lines(self, *, out: Collection[int], kept: Collection[int]) -> "Reading":
        """The same list without the lines `out`, and with those `kept`, by their place in it."""
        lines = tuple(
            replace(line, kept=(line.kept or line.at in kept) and line.at not in out)
            for line in self.lines
        )
        return replace(self, lines=lines)

    @property
    def twice(self) -> tuple[Meaning, ...]:
        """Meanings that more than one column has and only one can."""
        meanings = [column.meaning for column in self.columns]
        return tuple(meaning for meaning in ONCE if meanings.count(meaning) > 1)
