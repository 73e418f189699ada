"""Tables as pieces: labels, group headings, rows and sums."""

from collections.abc import Iterator
from functools import partial

from teamops.paper.columns import CELL, LABEL, PAD, STRONG_CELL, Slot, place
from teamops.paper.fonts import Hand, Style
from teamops.paper.pen import FAINT, INK, STRONG, TICK_SIDE, Pen
from teamops.paper.pieces import MOST_LINES, Piece
from teamops.paper.sheet import Bar, Cell, Group, Row, Table
from teamops.paper.text import clean, one_line, wrap

HEADING = Hand(Style.HEAD, 10.5, 14.0)
TAIL = Hand(Style.BODY, 7.5, 14.0)
ROW_PAD = 3.2  # above and below a row's lines [pt]
CONTINUED = "(continued)"
MOST_LABEL_LINES = 4

# A cell with its words wrapped: lines, or something to draw.
Laid = tuple[str, ...] | bool | Bar | None


def table_pieces(table: Table, x: float, width: float) -> Iterator[Piece]:
    """The table's pieces from its labels to its sums, `width` points wide from `x`."""
    return _Setting(table, x, width).pieces()


class _Setting:
    """One table with its columns placed."""

    def __init__(self, table: Table, x: float, width: float) -> None:
        self.table, self.x, self.width = table, x, width
        rows = [_clean(row) for row in table.all_rows()]
        self.rows = iter(rows)  # taken from in printing order
        self.slots = place(table, rows, x, width)
        self.labels = self._labels()

    def pieces(self) -> Iterator[Piece]:
        yield self.labels
        groups = self.table.groups
        for number, group in enumerate(groups):
            sums = () if number < len(groups) - 1 else self.table.sums
            yield from self._group(group, closed=bool(sums))
        yield from self._sums(len(self.table.sums), (self.labels,), closed=False)

    def _group(self, group: Group, *, closed: bool) -> Iterator[Piece]:
        """A group's pieces; `closed` says that a sum of the whole table must stay below it."""
        again: tuple[Piece, ...] = (self.labels,)
        if group.heading:
            heading = clean(group.heading)
            yield from self._headings(heading)
            again = (self.labels, self._continued(heading))
        ends = len(group.rows) - 1
        for number in range(len(group.rows)):
            keep = number == ends and (bool(group.sums) or closed)
            yield from self._row(next(self.rows), again, keep=keep, strong=False)
        yield from self._sums(len(group.sums), again, closed=closed)

    def _sums(self, count: int, again: tuple[Piece, ...], *, closed: bool) -> Iterator[Piece]:
        for number in range(count):
            keep = number < count - 1 or closed
            yield from self._row(next(self.rows), again, keep=keep, strong=True)

    def _labels(self) -> Piece:
        lines = []
        for slot in self.slots:
            label = clean(slot.column.label)
            lines.append(wrap(label, LABEL, slot.width, most=MOST_LABEL_LINES))
        height = max(map(len, lines)) * LABEL.leading + 5
        return Piece(height, partial(self._draw_labels, lines, height), keep=True)

    def _draw_labels(
        self, labels: list[tuple[str, ...]], height: float, pen: Pen, top: float
    ) -> None:
        for slot, lines in zip(self.slots, labels, strict=True):
            first = top - height + 3 + len(lines) * LABEL.leading
            pen.lines(lines, slot.x, slot.width, first, LABEL, slot.align)
        self._rule(pen, top - height, 0.9, INK)

    def _headings(self, heading: str) -> Iterator[Piece]:
        """A group's heading over its first row, in several pieces if it is endless."""
        hand = HEADING.fitting(heading)
        lines = wrap(heading, hand, self.width - 2 * PAD)
        for start in range(0, len(lines), MOST_LINES):
            some = lines[start : start + MOST_LINES]
            last = start + MOST_LINES >= len(lines)
            height = len(some) * hand.leading + (7 if last else 0)
            draw = partial(self._draw_heading, some, hand, height, ruled=last)
            gap = 0 if start else 9
            yield Piece(height, draw, gap=gap, keep=True, again=(self.labels,))

    def _draw_heading(
        self,
        lines: tuple[str, ...],
        hand: Hand,
        height: float,
        pen: Pen,
        top: float,
        *,
        ruled: bool,
    ) -> None:
        pen.lines(lines, self.x + PAD, self.width, top - 4, hand)
        if ruled:
            self._rule(pen, top - height, 0.6, STRONG)

    def _continued(self, heading: str) -> Piece:
        hand = HEADING.fitting(heading)
        line = one_line(heading, hand, self.width - 4 * PAD - TAIL.width(CONTINUED))
        height = hand.leading + 7
        return Piece(height, partial(self._draw_continued, line, hand, height))

    def _draw_continued(self, line: str, hand: Hand, height: float, pen: Pen, top: float) -> None:
        self._draw_heading((line,), hand, height, pen, top, ruled=True)
        pen.lines((CONTINUED,), self.x + 2 * PAD + hand.width(line), 0, top - 4, TAIL)

    def _row(
        self, row: Row, again: tuple[Piece, ...], *, keep: bool, strong: bool
    ) -> Iterator[Piece]:
        """One row, cut into several pieces only if a cell runs over many lines."""
        pairs = zip(self.slots, row, strict=True)
        cells = [self._lay(slot, cell, strong=strong) for slot, cell in pairs]
        most = max(len(cell) if isinstance(cell, tuple) else 1 for cell in cells)
        for start in range(0, most, MOST_LINES):
            end = start + MOST_LINES
            part = [cell[start:end] if isinstance(cell, tuple) else cell for cell in cells]
            if start:  # boxes and bars stand in the first piece
                part = [cell if isinstance(cell, tuple) else None for cell in part]
            last = end >= most
            height = min(most - start, MOST_LINES) * CELL.leading + (2 * ROW_PAD if last else 0)
            draw = partial(self._draw_row, part, height, strong=strong, ruled=last)
            yield Piece(height, draw, keep=keep and last, again=again)

    def _lay(self, slot: Slot, cell: Cell, *, strong: bool) -> Laid:
        if not isinstance(cell, str):
            return cell
        return wrap(cell, _hand(slot, strong=strong), slot.width)

    def _draw_row(
        self, cells: list[Laid], height: float, pen: Pen, top: float, *, strong: bool, ruled: bool
    ) -> None:
        for slot, cell in zip(self.slots, cells, strict=True):
            if isinstance(cell, tuple):
                hand = _hand(slot, strong=strong)
                pen.lines(cell, slot.x, slot.width, top - ROW_PAD, hand, slot.align)
            elif isinstance(cell, bool):
                x = slot.x + (slot.width - TICK_SIDE) * slot.align.value
                offset = ROW_PAD + (CELL.leading - TICK_SIDE) / 2
                pen.tick_box(x, top - offset, ticked=cell)
            elif cell:
                _draw_bar(pen, cell, slot, top - ROW_PAD - CELL.leading / 2)
        if self.table.grid:
            self._draw_sides(pen, top, height)
        if ruled:
            weight, grey = (1.1, INK) if strong else (0.5, FAINT)
            self._rule(pen, top - height, weight, grey)

    def _draw_sides(self, pen: Pen, top: float, height: float) -> None:
        for x in (*(slot.x - PAD for slot in self.slots), self.x + self.width):
            pen.rule(x, top, x, top - height, 0.5, FAINT)

    def _rule(self, pen: Pen, y: float, weight: float, grey: float) -> None:
        pen.rule(self.x, y, self.x + self.width, y, weight, grey)


def _hand(slot: Slot, *, strong: bool) -> Hand:
    return STRONG_CELL if strong or slot.column.strong else CELL


def _clean(row: Row) -> Row:
    return tuple(clean(cell) if isinstance(cell, str) else cell for cell in row)


def _draw_bar(pen: Pen, bar: Bar, slot: Slot, middle: float) -> None:
    width = slot.width * min(max(bar.length, 0.0), 1.0)
    if width:
        pen.bar(slot.x, middle - 3.5, width, 7.0, strong=bar.strong)
    if bar.low is not None and bar.high is not None:
        ends = [slot.x + slot.width * min(max(end, 0.0), 1.0) for end in (bar.low, bar.high)]
        pen.whisker(ends[0], ends[1], middle)
