"""What a sheet of paper says: blocks of ready words, without a place on the page yet.

Any text is welcome: it is printed as it stands, never read as markup; a line break breaks the
line, and a character the font cannot draw prints as ▯.
"""

import math
from dataclasses import dataclass
from enum import StrEnum


class PageSize(StrEnum):
    """The two papers a team can buy."""

    LETTER = "letter"
    A4 = "A4"


class Kind(StrEnum):
    """How wide a column grows and where its words stand."""

    TEXT = "text"  # shares what width is left; starts at the left
    NUMBER = "number"  # as wide as its longest entry; ends at the right
    TICK = "tick"  # room for one box
    BAR = "bar"  # room for a small bar


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar `length` long, with the range it may well have; all from 0 to 1 of its column.

    What is beyond 0 to 1 is cut there. A strong bar is hatched, a plain one grey. Refuses
    (ValueError) a NaN, and half a range.
    """

    length: float
    low: float | None = None
    high: float | None = None
    strong: bool = False

    def __post_init__(self) -> None:
        if (self.low is None) != (self.high is None):
            raise ValueError("a range has two ends, or there is none")
        if any(end is not None and math.isnan(end) for end in (self.length, self.low, self.high)):
            raise ValueError("a bar's length and range must be numbers")


# A box to tick is a bool: True comes ticked. None leaves the cell empty.
Cell = str | bool | Bar | None
Row = tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Column:
    """One column; `share` weighs text columns against each other, `strong` sets it bold."""

    label: str
    kind: Kind = Kind.TEXT
    share: float = 1.0
    strong: bool = False

    def __post_init__(self) -> None:
        if not 0 < self.share < math.inf:
            raise ValueError(f"a column's share must be above 0, got {self.share}")


@dataclass(frozen=True, slots=True)
class Group:
    """Rows that belong together, such as one container's, and what they sum to."""

    rows: tuple[Row, ...]
    heading: str = ""
    sums: tuple[Row, ...] = ()


@dataclass(frozen=True, slots=True)
class Table:
    """Groups of rows under one line of column labels, which is printed again on each page.

    `sums` close the whole table. `grid` rules every cell, as on a score sheet. Refuses
    (ValueError) a table without columns and a row with more or fewer cells than columns.
    """

    columns: tuple[Column, ...]
    groups: tuple[Group, ...]
    sums: tuple[Row, ...] = ()
    grid: bool = False

    def __post_init__(self) -> None:
        if not self.columns:
            raise ValueError("a table needs columns")
        for row in self.all_rows():
            if len(row) != len(self.columns):
                raise ValueError(f"a row of {len(row)} cells in {len(self.columns)} columns")

    def all_rows(self) -> tuple[Row, ...]:
        """Every row in printing order, sums among them."""
        rows = [row for group in self.groups for row in (*group.rows, *group.sums)]
        return (*rows, *self.sums)


@dataclass(frozen=True, slots=True)
class Heading:
    """A line over the blocks that follow; it stays on their page."""

    text: str


@dataclass(frozen=True, slots=True)
class Note:
    """A plain paragraph."""

    text: str


@dataclass(frozen=True, slots=True)
class Caution:
    """Paragraphs in a box that nobody overlooks."""

    texts: tuple[str, ...]
    heading: str = "Caution"


@dataclass(frozen=True, slots=True)
class Facts:
    """Pairs of a label and its value, read across in two columns."""

    pairs: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Chart:
    """
    Dots joined by a line, evenly from left to right, each with a short label below it.

    `scale` are the lines drawn across, by value and words, between `low` and `high`. Refuses
    (ValueError) ends that are no numbers or the wrong way round, and a point that is no number.
    """

    points: tuple[tuple[str, float], ...]
    low: float
    high: float
    scale: tuple[tuple[float, str], ...] = ()

    def __post_init__(self) -> None:
        if not (math.isfinite(self.low) and math.isfinite(self.high) and self.low < self.high):
            raise ValueError(
                f"a scale goes from a lower to a higher end, got {self.low} to {self.high}"
            )
        if not all(math.isfinite(value) for _, value in self.points):
            raise ValueError("a chart's points must be numbers")


Block = Table | Heading | Note | Caution | Facts | Chart


@dataclass(frozen=True, slots=True)
class Sheet:
    """One paper: its head, its foot and the blocks between.

    `link` is the page this paper was printed from: its address stands in the foot, and as a QR
    code in the head unless it is too long to scan. `printed_on` is the date as the caller words
    it; the kit reads no clock, so the same sheet always gives the same bytes. Title and subtitle
    are cut with … where they would crowd out the page.
    """

    title: str
    team: str
    blocks: tuple[Block, ...]
    subtitle: tuple[str, ...] = ()
    page_size: PageSize = PageSize.LETTER
    link: str = ""
    printed_on: str = ""
