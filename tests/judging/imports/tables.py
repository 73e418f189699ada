"""Tables as cooks and organisers keep them, made up; and batches of them."""

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

from teamops.judging.imports import Columns, guess
from teamops.teams.models import ImportBatch, Team, User

WIDE = ("Contest", "Date", "Category", "Judge", "Appearance", "Doneness", "Taste", "Texture",
        "Overall impression")  # fmt: skip


def wide_rows(contests: int = 1, judges: int = 5, first: int = 0) -> list[list[str]]:
    """A heading and one judge's sheet a row, every box marked a little differently."""
    rows = [list(WIDE)]
    for n in range(first, first + contests):
        day = (date(2021, 3, 6) + timedelta(days=7 * n)).isoformat()
        for seat in range(1, judges + 1):
            marks = [str(6 + (n * 7 + seat * 3 + place) % 9 / 2) for place in range(5)]
            rows.append([f"Contest {n}", day, "Ribeye", str(seat), *marks])
    return rows


def long_rows(contests: int = 1, judges: int = 5) -> list[list[str]]:
    """The same, one mark a row."""
    rows = [[*WIDE[:4], "Criterion", "Mark"]]
    for row in wide_rows(contests, judges)[1:]:
        rows += [[*row[:4], name, mark] for name, mark in zip(WIDE[4:], row[4:], strict=True)]
    return rows


def batch_of(
    team: Team,
    by: User,
    rows: Sequence[Sequence[str]],
    columns: Columns | None = None,
    **answers: str,
) -> ImportBatch:
    """A batch of these rows, read as guessed unless said otherwise."""
    cells: Any = [list(row) for row in rows]
    found = (columns or guess(cells, team)).with_answers(answers)
    return ImportBatch.objects.create(
        team=team, name="sheets.csv", cells=cells, columns=found.as_dict(), rows=len(cells),
        brought_by=by,
    )  # fmt: skip
