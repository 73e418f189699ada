"""Pieces of a sheet, and how they fall onto pages."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from teamops.paper.pen import Pen

# Lines in one piece at most: far less than a page, so that a piece always fits on one, and
# few enough that long text fills a page to its foot.
MOST_LINES = 8


@dataclass(frozen=True, slots=True)
class Piece:
    """Something that is never cut: how tall it is, and how to draw it below a given top.

    Heights are points. `gap` is the space above it, dropped at the head of a page.
    `keep` holds it on one page with the next piece. `again` is printed above it when it starts a
    page, such as column labels.
    """

    height: float
    draw: Callable[[Pen, float], None]
    gap: float = 0.0
    keep: bool = False
    again: tuple["Piece", ...] = ()


class Pages:
    """Fills pages with pieces from the top; each page is a list of (top, piece)."""

    def __init__(self, top: float, bottom: float) -> None:
        self.top, self.bottom = top, bottom
        self.pages: list[list[tuple[float, Piece]]] = [[]]
        self._y = top

    def fill(self, pieces: Iterable[Piece]) -> None:
        """Place the pieces in order, opening pages as they are needed."""
        for run in _runs(pieces):
            height = sum(piece.gap + piece.height for piece in run)
            if self._y - height < self.bottom and self.pages[-1]:
                self._turn(run[0])
            for piece in run:
                # Only a run taller than a page comes to this.
                if self._y - piece.gap - piece.height < self.bottom and self.pages[-1]:
                    self._turn(piece)
                self._place(piece)

    def _turn(self, first: Piece) -> None:
        self.pages.append([])
        self._y = self.top
        again = sum(piece.height for piece in first.again)
        if self.top - again - first.height >= self.bottom:
            for piece in first.again:
                self._place(piece)

    def _place(self, piece: Piece) -> None:
        if self.pages[-1]:
            self._y -= piece.gap
        self.pages[-1].append((self._y, piece))
        self._y -= piece.height


def _runs(pieces: Iterable[Piece]) -> Iterator[list[Piece]]:
    run: list[Piece] = []
    for piece in pieces:
        run.append(piece)
        if not piece.keep:
            yield run
            run = []
    if run:
        yield run
