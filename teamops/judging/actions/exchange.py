"""An import on its way: kept as it came, in line once, under way once, done or not."""

from collections.abc import Mapping, Sequence
from typing import Any
from uuid import UUID

from django.utils import timezone

from teamops.judging.queries.exchange import is_silent
from teamops.teams.models import ImportBatch, Team, User

State = ImportBatch.State
OPEN = (State.READ, State.FAILED)  # its columns can be put right
Sheets = Sequence[tuple[str, Sequence[Sequence[str]]]]


def keep_import(
    *,
    team: Team,
    name: str,
    cells: Sequence[Sequence[str]],
    columns: Mapping[str, Any],
    by: User,
    sheets: Sheets = (),
) -> ImportBatch:
    """Keep what was brought, as text, to be looked through; `sheets` are all of a workbook's."""
    return ImportBatch.objects.create(
        team=team,
        name=name,
        cells=cells,
        columns=dict(columns),
        rows=len(cells),
        said={"sheets": sheets} if len(sheets) > 1 else {},
        brought_by=by,
    )


def put_right(
    *,
    batch: ImportBatch,
    columns: Mapping[str, Any],
    cells: Sequence[Sequence[str]] | None = None,
) -> bool:
    """Keep what its columns mean, and cells that were mended, while that can still be done."""
    batch.columns = dict(columns)
    kept: dict[str, Any] = {"columns": batch.columns}
    if cells is not None:
        batch.cells = kept["cells"] = cells
    rows = ImportBatch.objects.filter(pk=batch.pk, state__in=OPEN)
    return bool(rows.update(**kept))


def take_sheet(
    *, batch: ImportBatch, cells: Sequence[Sequence[str]], columns: Mapping[str, Any]
) -> bool:
    """Look through another sheet of the workbook instead."""
    batch.cells, batch.columns, batch.rows = cells, dict(columns), len(cells)
    rows = ImportBatch.objects.filter(pk=batch.pk, state__in=OPEN)
    return bool(rows.update(cells=cells, columns=batch.columns, rows=batch.rows))


def queue_import(*, batch: ImportBatch) -> bool:
    """Put it in line, once: False where it is in line, under way or taken in already."""
    said = {"queued_at": timezone.now().isoformat()}
    rows = ImportBatch.objects.filter(pk=batch.pk, state__in=OPEN)
    return bool(rows.update(state=State.QUEUED, said=said, done=0, finished_at=None))


def requeue_import(*, batch: ImportBatch) -> bool:
    """Put one in line again whose worker went away in the middle of it; nothing was kept of it."""
    if not is_silent(batch):
        return False
    said = {"queued_at": timezone.now().isoformat()}
    rows = ImportBatch.objects.filter(pk=batch.pk, state=State.RUNNING, said=batch.said)
    return bool(rows.update(state=State.QUEUED, said=said, done=0))


def start_import(pk: UUID) -> bool:
    """Take it out of the line, once: whoever comes second, or too late, is told False."""
    said = {"heard_at": timezone.now().isoformat()}
    rows = ImportBatch.objects.filter(pk=pk, state=State.QUEUED)
    return bool(rows.update(state=State.RUNNING, said=said))


def hear_import(pk: UUID, done: int) -> None:
    """Keep how far it is."""
    said = {"heard_at": timezone.now().isoformat()}
    ImportBatch.objects.filter(pk=pk, state=State.RUNNING).update(done=done, said=said)


def fail_import(pk: UUID, words: Sequence[str]) -> None:
    """Say why it was not taken in; it can be put right and tried again."""
    rows = ImportBatch.objects.filter(pk=pk, state=State.RUNNING)
    said = {"words": list(words)}
    if rows.update(state=State.FAILED, said=said, done=0, finished_at=timezone.now()):
        Team.objects.filter(imports=pk).restamp()
