"""Imports for tests: a table as it was brought, its columns as guessed."""

from collections.abc import Sequence

from teamops.judging.imports import guess
from teamops.teams.models import ImportBatch, Membership

HEADS = ("Contest", "Date", "Category", "Rulebook", "Judge", "Appearance", "Doneness", "Taste",
         "Texture", "Overall impression")  # fmt: skip
BOOK = "Open Slate"


def table(boxes: int = 1, judges: int = 2, mark: str = "8.5") -> list[list[str]]:
    """A heading and one judge’s sheet a row."""
    rows = [list(HEADS)]
    for box in range(boxes):
        for seat in range(1, judges + 1):
            day = f"2024-05-{box % 28 + 1:02}"
            rows.append([f"Fire {box}", day, "Ribeye", BOOK, str(seat), *[mark] * 5])
    return rows


def import_batch(
    member: Membership, cells: Sequence[Sequence[str]] = (), **more: object
) -> ImportBatch:
    """An import to be looked through, or in another state if `more` says so."""
    rows = [list(row) for row in cells or table()]
    return ImportBatch.objects.create(
        team=member.team,
        name="sheets.csv",
        cells=rows,
        columns=guess(rows, member.team).as_dict(),
        rows=len(rows),
        brought_by=member.user,
        **more,
    )
