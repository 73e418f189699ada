"""Cells into columns: what runs together taken apart, what is missing left free."""

import re
from collections import Counter
from collections.abc import Callable, Sequence
from itertools import pairwise

from teamops.calc.reading.numbers import number_in, out_in, place_in
from teamops.calc.reading.records import MOST_COLUMNS
from teamops.calc.reading.split import Cut, usual_width
from teamops.calc.reading.vocabulary import headings_in

Apart = Callable[[list[list[str]], int], list[list[str]] | None]
MOST = 0.6  # of the lines must look so, for a column to be taken apart
LEADING_PLACE = re.compile(
    r"((?:t|tied?|=)?\s?[-.]?\s?\d{1,4}(?:st|nd|rd|th|[.):])|(?:t|=)-?\d{1,4}|\d{1,4})"
    r"(?:\s*[-–—]\s+|\s+)(\S.*)",
    re.IGNORECASE,
)
HASH = re.compile(r"(?:#\s?(\w{1,8})\b[\s.:–—-]*(.+)|(.+?)[\s,(–—-]+#\s?(\w{1,8})\)?)")


def to_columns(cuts: Sequence[Cut]) -> list[list[str]]:
    """Every line with as many cells, in the order given."""
    usual = usual_width(cuts)
    spans, looks = _column_spans(cuts, usual), _looks(cuts, usual)
    rows = _square([_cells(one, usual, spans, looks) for one in cuts])
    rows = _taken_apart(rows, _runs)
    rows = _taken_apart(rows, _place_and_name)
    rows = _taken_apart(rows, _number_and_name)
    return _without_empty(rows)


def _square(rows: list[list[str]]) -> list[list[str]]:
    width = min(max(map(len, rows), default=1), MOST_COLUMNS)
    square = []
    for row in rows:
        if len(row) > width:
            row = [*row[: width - 1], " ".join(row[width - 1 :])]
        cells = [" ".join(cell.split()) for cell in row]
        square.append([*cells, *[""] * (width - len(cells))])
    return square


def _without_empty(rows: list[list[str]]) -> list[list[str]]:
    keep = [any(row[index] for row in rows) for index in range(len(rows[0]) if rows else 0)]
    return [[cell for cell, kept in zip(row, keep, strict=True) if kept] for row in rows]


def _cells(
    one: Cut, usual: int, spans: Sequence[tuple[int, int]], looks: Sequence[str]
) -> list[str]:
    """The cells of a line parted by spaces, where they belong; of any other, as they are."""
    if not one.spans or len(one.cells) == usual or len(one.cells) < 2:
        return one.cells
    if spans:
        return _by_position(one, spans)
    return _by_look(one.cells, looks) if len(one.cells) < usual else one.cells


def _column_spans(cuts: Sequence[Cut], usual: int) -> list[tuple[int, int]]:
    """From where to where each column reaches; nothing where the columns do not stand straight."""
    whole = [one.spans for one in cuts if len(one.spans) == usual]
    if not whole:
        return []
    spans = [
        (min(s[index][0] for s in whole), max(s[index][1] for s in whole)) for index in range(usual)
    ]
    straight = all(left[1] <= right[0] for left, right in pairwise(spans))
    return spans if straight else []


def _by_position(one: Cut, spans: Sequence[tuple[int, int]]) -> list[str]:
    cells = [""] * len(spans)
    least = 0
    for cell, (start, stop) in zip(one.cells, one.spans, strict=True):
        middle = (start + stop) / 2
        index = min(
            range(least, len(spans)),
            key=lambda i: (
                max(0, max(start, spans[i][0]) - min(stop, spans[i][1])),
                abs(middle - sum(spans[i]) / 2),
            ),
        )
        cells[index] = f"{cells[index]} {cell}".strip()
        least = index
    return cells


def _look(cell: str) -> str:
    """What a cell looks like: a number, a word for being out, other words."""
    if number_in(cell) is not None or place_in(cell):
        return "number"
    return "out" if out_in(cell) else "words"


def _looks(cuts: Sequence[Cut], usual: int) -> list[str]:
    whole = [one.cells for one in cuts if one.spans and len(one.cells) == usual]
    if not whole:
        return []
    return [
        Counter(_look(cells[index]) for cells in whole).most_common(1)[0][0]
        for index in range(usual)
    ]


def _by_look(cells: Sequence[str], looks: Sequence[str]) -> list[str]:
    """Fewer cells than columns: each goes to the next column that looks like it."""
    row = [""] * len(looks)
    index = 0
    for number, cell in enumerate(cells):
        last = len(looks) - (len(cells) - number)  # room for those that follow
        fitting = [i for i in range(index, last + 1) if looks[i] == _look(cell)]
        place = fitting[0] if fitting else last if _look(cell) == "out" else index
        row[place] = cell
        index = place + 1
    return row


def _taken_apart(rows: list[list[str]], apart: Apart) -> list[list[str]]:
    """Columns in which most cells come apart, taken apart."""
    index = 0
    while rows and index < len(rows[0]) < MOST_COLUMNS:
        pieces = apart(rows, index)
        if pieces is None:
            index += 1
            continue
        rows = [
            [*row[:index], *piece, *row[index + 1 :]]
            for row, piece in zip(rows, pieces, strict=True)
        ]
        index += len(pieces[0])
    return rows


def _runs(rows: list[list[str]], index: int) -> list[list[str]] | None:
    """A cell of several numbers: 9 8.5 9 8; not 1 234, which is one."""
    runs = [_numbers(row[index]) for row in rows]
    widths = Counter(map(len, filter(None, runs)))
    if not widths:
        return None
    usual, times = widths.most_common(1)[0]
    said = sum(bool(row[index]) for row in rows)
    if usual < 2 or times < MOST * said or len(rows[0]) + usual > MOST_COLUMNS:
        return None
    return [
        run if len(run) == usual else _spread(row[index], usual)
        for row, run in zip(rows, runs, strict=True)
    ]


def _spread(cell: str, width: int) -> list[str]:
    """A heading over several columns, one each; anything else stands in the last."""
    words = cell.split()
    heads = headings_in(cell) or words
    return heads if len(heads) == width else [*[""] * (width - 1), cell]


def _numbers(cell: str) -> list[str]:
    words = cell.split()
    if len(words) < 2 or any(number_in(word) is None for word in words):
        return []
    return [] if all(re.fullmatch(r"\d{3}(?:[.,]\d*)?", word) for word in words[1:]) else words


def _place_and_name(rows: list[list[str]], index: int) -> list[list[str]] | None:
    """“1. Oak and Ash” in the first column."""
    if index or any(place_in(row[0]) for row in rows):
        return None
    found = [LEADING_PLACE.fullmatch(row[0]) for row in rows]
    said = sum(bool(row[0]) for row in rows)
    if sum(map(bool, found)) < max(MOST * said, 1):
        return None
    return [
        [one[1], one[2]] if one else _spread(row[0], 2) if headings_in(row[0]) else ["", row[0]]
        for row, one in zip(rows, found, strict=True)
    ]


def _number_and_name(rows: list[list[str]], index: int) -> list[list[str]] | None:
    """“#12 Oak and Ash”, or “Oak and Ash (#12)”."""
    # a longer cell is no name, and would keep the pattern busy
    found = [HASH.fullmatch(row[index]) if len(row[index]) < 200 else None for row in rows]
    said = sum(bool(row[index]) for row in rows)
    if sum(map(bool, found)) < max(MOST * said, 1):
        return None
    return [
        [one[1] or one[4], one[2] or one[3]] if one else _hash_head(row[index])
        for row, one in zip(rows, found, strict=True)
    ]


def _hash_head(cell: str) -> list[str]:
    heads = headings_in(cell)
    return heads if len(heads) == 2 else ["", cell]
