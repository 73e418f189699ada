"""How wide the columns of a table become."""

from collections.abc import Sequence
from dataclasses import dataclass

from teamops.paper.fonts import Hand, Style
from teamops.paper.pen import TICK_SIDE, Align
from teamops.paper.sheet import Column, Kind, Row, Table
from teamops.paper.text import clean

CELL, STRONG_CELL = Hand(Style.BODY, 9.0, 11.5), Hand(Style.BOLD, 9.0, 11.5)
LABEL = Hand(Style.BODY, 7.5, 9.0)
PAD = 4.0  # clear space at either side of a cell [pt]
LEAST_BAR, BARS = 60.0, 0.4  # a bar's column [pt]; all bars together, of the table's width
LEAST_GRID = 62.0  # a score sheet's columns, where the page has room for them [pt]
MOST_NUMBER = 0.22  # of the table's width: a longer entry wraps
MOST_FIXED = 0.7  # of the table's width, where there is text to leave room for


@dataclass(frozen=True, slots=True)
class Slot:
    """A column in its place: where its words may stand, in points."""

    column: Column
    x: float
    width: float
    align: Align


def place(table: Table, rows: Sequence[Row], x: float, width: float) -> tuple[Slot, ...]:
    """Slots for the table's columns, side by side over `width`; `rows` are clean."""
    natural = [_natural(column, place, rows) for place, column in enumerate(table.columns)]
    slots = []
    for column, wide in zip(table.columns, _widths(table, natural, width), strict=True):
        align = _align(column.kind, grid=table.grid)
        slots.append(Slot(column, x + PAD, max(wide - 2 * PAD, 1.0), align))
        x += wide
    return tuple(slots)


def _align(kind: Kind, *, grid: bool) -> Align:
    if kind is Kind.TICK or (grid and kind is Kind.NUMBER):
        return Align.CENTRE
    return Align.RIGHT if kind is Kind.NUMBER else Align.LEFT


def _natural(column: Column, place: int, rows: Sequence[Row]) -> float:
    """The width at which nothing in the column would wrap, its label only at spaces."""
    least = TICK_SIDE if column.kind is Kind.TICK else 0.0
    words = clean(column.label).replace("\n", " ").split(" ")
    label = max(LABEL.width(word) for word in words)
    texts = {cell for row in rows if isinstance(cell := row[place], str)}
    # Bold is the wider hand, and any row may be a sum. A hair more, so that rounding wraps none.
    longest = max((STRONG_CELL.width(text) for text in texts), default=0.0) + 0.01
    return max(least, label, longest) + 2 * PAD


def _widths(table: Table, natural: list[float], width: float) -> list[float]:
    """The table's width dealt out: numbers, boxes and bars first, then text."""
    kinds = [column.kind for column in table.columns]
    texts = [place for place, kind in enumerate(kinds) if kind is Kind.TEXT]
    widths = [min(wide, MOST_NUMBER * width) for wide in natural]
    if table.grid:
        _even(widths, kinds, width)
    if bars := kinds.count(Kind.BAR):
        taken = sum(wide for wide, kind in zip(widths, kinds, strict=True) if kind is not Kind.BAR)
        bar = max(LEAST_BAR, min(BARS * width, width - taken) / bars)
        widths = [
            bar if kind is Kind.BAR else wide for wide, kind in zip(widths, kinds, strict=True)
        ]
    fixed = sum(wide for place, wide in enumerate(widths) if place not in texts)
    most = MOST_FIXED * width if texts else width
    if fixed > most or not texts:
        widths = [wide * most / fixed for wide in widths]
        fixed = most
    _share(widths, [(place, table.columns[place].share) for place in texts], natural, width - fixed)
    return widths


def _even(widths: list[float], kinds: list[Kind], width: float) -> None:
    """Give the numbers of a score sheet columns alike."""
    numbers = [place for place, kind in enumerate(kinds) if kind is Kind.NUMBER]
    if numbers:
        alike = max(LEAST_GRID, *(widths[place] for place in numbers))
        alike = min(alike, MOST_FIXED * width / len(numbers))
        for place in numbers:
            widths[place] = alike


def _share(
    widths: list[float], texts: list[tuple[int, float]], natural: list[float], left: float
) -> None:
    """Deal `left` points to text columns by their shares.

    Who needs least is served first, so that what they leave goes to those who need more; what
    nobody needs is shared out again.
    """
    shares = total = sum(share for _, share in texts)
    for place, share in sorted(texts, key=lambda text: natural[text[0]] / text[1]):
        widths[place] = min(natural[place], left * share / shares)
        left -= widths[place]
        shares = max(shares - share, 1e-9)
    for place, share in texts:
        widths[place] += left * share / total
