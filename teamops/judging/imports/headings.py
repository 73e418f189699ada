"""Which rows are the heading, and what the head of each column is, over two rows where it is."""

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from teamops.calc.reading import plain_words
from teamops.calc.reading.numbers import number_in
from teamops.judging.imports.fields import (
    BEHIND,
    CODE_OF,
    JUDGE,
    NAME_WORDS,
    PASSED_WORDS,
    PLACE_WORDS,
    TOTAL_WORDS,
    UNIT,
    criterion_of,
    judge_in,
)

LOOKED_AT = 60  # rows at the top among which the heading stands
OTHER = frozenset({*TOTAL_WORDS, *PLACE_WORDS, *NAME_WORDS, *PASSED_WORDS})

Cells = Sequence[Sequence[str]]


@dataclass(frozen=True, slots=True)
class Heading:
    """The heading rows (0 first) and each column's head as one or two parts, upper first."""

    rows: tuple[int, ...]
    parts: tuple[tuple[str, ...], ...]

    @property
    def names(self) -> tuple[str, ...]:
        """The heads as one line each; “column 4” where there is none."""
        return tuple(
            " · ".join(parts) or f"column {index}" for index, parts in enumerate(self.parts, 1)
        )


def find_heading(cells: Cells, criteria: Collection[str]) -> Heading:
    """The heading of a table; without rows where none is found. `criteria` are plain names."""
    width = max(map(len, cells), default=0)
    scores = [_score(row, criteria) for row in cells[:LOOKED_AT]]
    most = max(scores, default=0)
    if most <= 0:
        return Heading((), tuple(() for _ in range(width)))
    at = scores.index(most)
    row = _clean(cells[at])
    above = _clean(cells[at - 1]) if at else []
    below = _clean(cells[at + 1]) if at + 1 < len(cells) else []
    if _heads_groups(above, row, criteria):
        return _two(at - 1, above, row)
    if _goes_on(row, below, criteria):
        return _two(at, row, below)
    return _one(at, row, above, criteria)


def _clean(row: Sequence[str]) -> list[str]:
    return [" ".join(cell.split()) for cell in row]


def _score(row: Sequence[str], criteria: Collection[str]) -> int:
    """How much a row looks like the heading; nothing for a row that cannot be it."""
    cells = [cell for cell in _clean(row) if cell]
    known = sum(is_known(cell, criteria) for cell in cells)
    numbers = sum(number_in(cell) is not None for cell in cells)
    if not known or numbers > 0.3 * len(cells) or known < min(2, len(cells)):
        return 0
    if len(cells) == 1 and len(row) > 1:
        return 0
    return 2 * known - numbers + len(cells)


def is_known(cell: str, criteria: Collection[str]) -> bool:
    """Whether a cell is a head that means something here."""
    bare = plain_words(BEHIND.sub("", UNIT.sub("", cell)) or cell)
    words = plain_words(cell)
    if bare in CODE_OF or words in CODE_OF or words in OTHER or bare in OTHER:
        return True
    return bool(_named(cell, criteria)) or bool(JUDGE.fullmatch(cell.strip()))


def _named(cell: str, criteria: Collection[str]) -> bool:
    """Whether it names a criterion or a judge among other words: “J1 Taste”, “Total taste”."""
    judge, rest = judge_in(cell)
    if judge and not rest:
        return True
    rest = re.sub(r"\b(?:total|sum|avg|average|mean)\b", "", rest, flags=re.I)
    rest = re.sub(r"[\s#(]*\d{1,2}\)?$", "", rest) if not criterion_of(rest, criteria) else rest
    return bool(criterion_of(rest, criteria))


def _heads_groups(above: Sequence[str], row: Sequence[str], criteria: Collection[str]) -> bool:
    """Whether the row above heads groups of columns: judges or criteria, room to their right."""
    heads = [index for index, cell in enumerate(above) if cell and _named(cell, criteria)]
    if not heads:
        return False
    merged = any(
        index + 1 < len(above) and not above[index + 1] and row[index + 1] for index in heads
    )
    return merged or len(heads) > 1


def _goes_on(row: Sequence[str], below: Sequence[str], criteria: Collection[str]) -> bool:
    """Whether the row below goes on with the heading: judges or criteria under groups."""
    if not any(below):
        return False
    groups = _filled(row, below)
    under = [(groups[i], cell) for i, cell in enumerate(below) if cell]
    merged = any(cell and not row[i] for i, cell in enumerate(below))
    if not merged or not any(_named(group, criteria) for group, _ in under if group):
        return False
    if all(_named(cell, criteria) for _, cell in under):
        return True
    return _counts_on(under)


def _counts_on(under: Sequence[tuple[str, str]]) -> bool:
    """Whether numbers start at 1 and go on by one under each group: seats, not marks."""
    expected: dict[str, int] = {}
    for group, cell in under:
        expected[group] = expected.get(group, 0) + 1
        if cell != str(expected[group]):
            return False
    return True


def _filled(upper: Sequence[str], lower: Sequence[str]) -> list[str]:
    """The upper row with each head over the columns to its right that only the lower one heads."""
    filled, last = [], ""
    for index, cell in enumerate(upper):
        under = lower[index] if index < len(lower) else ""
        last = cell or (last if under else "")
        filled.append(last)
    return filled


def _one(at: int, row: Sequence[str], above: Sequence[str], criteria: Collection[str]) -> Heading:
    """One row, with the heads of cells that are merged downward into it from the row above."""
    merged = {
        index: above[index]
        for index, cell in enumerate(row)
        if not cell and index < len(above) and is_known(above[index], criteria)
    }
    parts = (merged.get(index, cell) for index, cell in enumerate(row))
    rows = (at - 1, at) if merged else (at,)
    return Heading(rows, tuple((part,) if part else () for part in parts))


def _two(at: int, upper: Sequence[str], lower: Sequence[str]) -> Heading:
    parts = []
    for group, cell in zip(_filled(upper, lower), lower, strict=True):
        parts.append(tuple(part for part in (group, cell) if part))
    return Heading((at, at + 1), tuple(parts))
