"""Headings, notes, cautions and facts as pieces."""

from collections.abc import Iterator
from functools import partial

from teamops.paper.charts import chart_pieces
from teamops.paper.fonts import Hand, Style
from teamops.paper.pen import FAINT, INK, Pen
from teamops.paper.pieces import MOST_LINES, Piece
from teamops.paper.sheet import Block, Caution, Chart, Facts, Heading, Note, Table
from teamops.paper.tables import table_pieces
from teamops.paper.text import clean, wrap

BODY = Hand(Style.BODY, 9.0, 12.5)
BOLD = Hand(Style.BOLD, 9.0, 12.5)
HEAD = Hand(Style.HEAD, 12.0, 15.0)
LABEL = Hand(Style.BODY, 7.5, 12.5)
BLOCK_GAP, HEADING_GAP = 11.0, 3.0  # above a block, and above one right under its heading [pt]
TIGHT_GAP = 6.0  # above a block, where that saves a page [pt]
MOST_WHOLE = 30  # lines of a caution that are held together
GUTTER = 18.0  # between the two columns of facts
LABEL_SHARE = 0.36  # of a fact's column


def block_pieces(block: Block, x: float, width: float) -> Iterator[Piece]:
    """A block's pieces, `width` points wide from `x`."""
    match block:
        case Table():
            pieces = table_pieces(block, x, width)
        case Heading():
            pieces = _paragraph(block.text, HEAD, x, width, keep=True)
        case Note():
            pieces = _paragraph(block.text, BODY, x, width)
        case Caution():
            pieces = _caution(block, x, width)
        case Facts():
            pieces = _facts(block, x, width)
        case Chart():
            pieces = chart_pieces(block, x, width)
    return pieces


def _paragraph(
    text: str, hand: Hand, x: float, width: float, *, keep: bool = False
) -> Iterator[Piece]:
    text = clean(text)
    hand = hand.fitting(text)
    lines = wrap(text, hand, width)
    for start in range(0, len(lines), MOST_LINES):
        some = lines[start : start + MOST_LINES]
        draw = partial(_draw_lines, some, hand, x, width)
        yield Piece(len(some) * hand.leading, draw, keep=keep)


def _draw_lines(
    lines: tuple[str, ...], hand: Hand, x: float, width: float, pen: Pen, top: float
) -> None:
    pen.lines(lines, x, width, top, hand)


def _caution(caution: Caution, x: float, width: float) -> Iterator[Piece]:
    """The heading and every paragraph in one frame, on one page unless it is very long."""
    inner = width - 24
    lines = [(line, BOLD) for line in wrap(clean(caution.heading), BOLD, inner)]
    for text in caution.texts:
        lines += [(line, BODY) for line in wrap(clean(text), BODY, inner)]
    for start in range(0, len(lines), MOST_LINES):
        end = start + MOST_LINES
        ends = (start == 0, end >= len(lines))
        height = len(lines[start:end]) * BODY.leading + 5 * sum(ends)
        keep = not ends[1] and len(lines) <= MOST_WHOLE
        draw = partial(_draw_caution, lines[start:end], ends, x, width, height)
        yield Piece(height, draw, keep=keep)


def _draw_caution(
    lines: list[tuple[str, Hand]],
    ends: tuple[bool, bool],
    x: float,
    width: float,
    height: float,
    pen: Pen,
    top: float,
) -> None:
    right, bottom = x + width, top - height
    pen.rule(x + 2, top, x + 2, bottom, 4, INK)
    pen.rule(right, top, right, bottom, 0.8, INK)
    for edge, drawn in zip((top, bottom), ends, strict=True):
        if drawn:
            pen.rule(x, edge, right, edge, 0.8, INK)
    y = top - 5 * ends[0]
    for line, hand in lines:
        pen.lines((line,), x + 14, width, y, hand)
        y -= hand.leading


def _facts(facts: Facts, x: float, width: float) -> Iterator[Piece]:
    half = (width - GUTTER) / 2
    pairs = facts.pairs
    for first in range(0, len(pairs), 2):
        cells = [_fact(label, value, half) for label, value in pairs[first : first + 2]]
        most = max(len(lines) for cell in cells for lines in cell)
        for start in range(0, most, MOST_LINES):
            end = start + MOST_LINES
            part = [(label[start:end], value[start:end]) for label, value in cells]
            last = end >= most
            height = min(most - start, MOST_LINES) * BODY.leading + (5 if last else 0)
            yield Piece(height, partial(_draw_facts, part, x, half, height, ruled=last))


def _fact(label: str, value: str, half: float) -> tuple[tuple[str, ...], tuple[str, ...]]:
    return (
        wrap(clean(label), LABEL, half * LABEL_SHARE - 6),
        wrap(clean(value), BODY, half * (1 - LABEL_SHARE)),
    )


def _draw_facts(
    cells: list[tuple[tuple[str, ...], tuple[str, ...]]],
    x: float,
    half: float,
    height: float,
    pen: Pen,
    top: float,
    *,
    ruled: bool,
) -> None:
    for label, value in cells:
        pen.lines(label, x, half, top - 2, LABEL)
        pen.lines(value, x + half * LABEL_SHARE, half, top - 2, BODY)
        if ruled:
            pen.rule(x, top - height, x + half, top - height, 0.5, FAINT)
        x += half + GUTTER
