"""An entry's marks by judge and criterion, as its picture draws them."""

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from hashlib import sha256
from statistics import fmean
from typing import NamedTuple

from teamops.calc.words import brief
from teamops.insight.queries.entry import EntryPage, Grid

DRAWING = 1  # counts up when the same marks are drawn another way
WIDTH, NAME, LEVEL, FOOT = 360, 26, 17, 34  # CSS pixels: a page on a phone, a name, a dot, the axis
LEFT, RIGHT = 10, 350  # where the scale begins and ends
NEAR = 16  # pixels: dots nearer than this stand above each other


class Dot(NamedTuple):
    """One judge's mark, as a place on the picture; `counts` is false where the rules drop it."""

    judge: str
    x: float
    level: int
    counts: bool


class MarkRow(NamedTuple):
    """One criterion's marks: its words, and its dots from the left."""

    words: str
    dots: tuple[Dot, ...]
    mean: float

    @property
    def levels(self) -> int:
        return 1 + max(dot.level for dot in self.dots)


@dataclass(frozen=True, slots=True)
class MarksPicture:
    """Every mark of an entry on one scale; `ticks` are (place, mark) along it."""

    rows: tuple[MarkRow, ...]
    ticks: tuple[tuple[float, str], ...]
    words: str

    @property
    def size(self) -> tuple[int, int]:
        """How wide and how high it is drawn, in CSS pixels."""
        return WIDTH, FOOT + sum(NAME + LEVEL * row.levels for row in self.rows)

    @property
    def key(self) -> str:
        """A name for exactly this content."""
        content = json.dumps([DRAWING, self.rows, self.ticks])
        return sha256(content.encode()).hexdigest()[:24]


def marks_picture(page: EntryPage) -> MarksPicture | None:
    """The marks of an entry's sheets; None where no judge gave any, or just one did. No query."""
    marks = [mark for grid in page.grids for row in grid.rows for mark in _points(row.cells)]
    if not marks or max(len(grid.rows) for grid in page.grids if grid.columns) < 2:
        return None
    low, high = _ends(marks)
    several = len(page.grids) > 1
    rows = [
        row
        for grid in page.grids
        for place, (name, _) in enumerate(grid.columns)
        if (row := _row(grid, place, f"{grid.panel}: {name}" if several else name, low, high))
    ]
    step = max(1, -(-(high - low) // 10))
    ticks = [(_place(mark, low, high), str(mark)) for mark in range(high, low - 1, -step)]
    said = "; ".join(_said(page.grids))
    return MarksPicture(tuple(rows), tuple(ticks), f"Marks by judge and criterion. {said}.")


def _points(cells: Iterable[object]) -> list[float]:
    return [
        float(points) for cell in cells if (points := getattr(cell, "points", None)) is not None
    ]


def _ends(marks: Sequence[float]) -> tuple[int, int]:
    """Whole marks around all marks, one apart at least."""
    low, high = int(min(marks) // 1), int(-(-max(marks) // 1))
    return (low, high) if low < high else (low - 1, high)


def _place(mark: float, low: int, high: int) -> float:
    """A mark's place across the picture. [CSS pixels]"""
    return round(LEFT + (RIGHT - LEFT) * (mark - low) / (high - low), 1)


def _row(grid: Grid, place: int, name: str, low: int, high: int) -> MarkRow | None:
    told = [(row, row.cells[place]) for row in grid.rows if row.cells[place].points is not None]
    if not told:
        return None
    dots: list[Dot] = []
    for row, cell in sorted(told, key=lambda pair: pair[1].points or 0):
        x = _place(float(cell.points or 0), low, high)
        taken = {dot.level for dot in dots if abs(dot.x - x) < NEAR}
        level = next(level for level in range(len(told)) if level not in taken)
        dots.append(Dot(_short(grid, row.label), x, level, cell.counts))
    mean = fmean(_points(cell for _, cell in told))
    return MarkRow(f"{name}, mean {mean:.2f}", tuple(dots), _place(mean, low, high))


def _short(grid: Grid, label: str) -> str:
    """What the paper calls the judge where that is short, else the number of the line."""
    word = label.split()[-1]
    labels = [row.label for row in grid.rows]
    return word if len(word) <= 2 else str(labels.index(label) + 1)


def _said(grids: Sequence[Grid]) -> Iterable[str]:
    for grid in grids:
        for place, (name, _) in enumerate(grid.columns):
            cells = [row.cells[place] for row in grid.rows]
            marks = [brief(cell.points) if cell.points is not None else "none" for cell in cells]
            yield f"{name}: {', '.join(marks)}"
