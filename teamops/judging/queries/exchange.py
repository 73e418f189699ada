"""What was brought in before, and how far an import is."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.utils import timezone

from teamops.teams.models import ImportBatch, Team

State = ImportBatch.State
LISTED = 50  # the latest ones
HEAVY = ("cells", "columns", "made", "said")
PATIENCE = timedelta(seconds=10)  # so long one in line may wait for a worker
SILENT = timedelta(minutes=2)  # so long nothing was heard of one under way: its worker is gone
WRITING = 0.8  # of its rows: from then on they are written, in one go, and nobody hears of it
STAMPS = {
    State.READ: "due",
    State.QUEUED: "due",
    State.RUNNING: "due",
    State.DONE: "ok",
    State.FAILED: "hot",
    State.UNDONE: "",
}


@dataclass(frozen=True, slots=True)
class ImportLine:
    """One earlier import in a list."""

    pk: UUID
    name: str
    rows: int
    state: str
    stamp: str
    brought_at: datetime
    brought_by: str


@dataclass(frozen=True, slots=True)
class Progress:
    """How far an import is; `waits`: no worker takes it up, `silent`: the one that did is gone."""

    done: int
    rows: int
    words: str
    waits: bool
    silent: bool


def earlier_imports(team: Team) -> list[ImportLine]:
    """The latest imports, newest first; one query, without what was in them."""
    rows = ImportBatch.objects.for_team(team).select_related("brought_by").defer(*HEAVY)
    return [
        ImportLine(
            pk=row.pk,
            name=row.name,
            rows=row.rows,
            state=row.get_state_display(),
            stamp=STAMPS[State(row.state)],
            brought_at=row.brought_at,
            brought_by=str(row.brought_by),
        )
        for row in rows[:LISTED]
    ]


def progress_of(batch: ImportBatch) -> Progress:
    """How far an import in line or under way is, in words; no query."""
    waits = batch.state == State.QUEUED and _older(batch, "queued_at", PATIENCE)
    silent = is_silent(batch)
    words = f"Row {batch.done:,} of {batch.rows:,}."
    if batch.state == State.QUEUED:
        words = f"{batch.rows:,} rows wait for their turn."
    elif batch.done >= WRITING * batch.rows:
        words = f"All {batch.rows:,} rows are worked out; now they are written in one go."
    return Progress(min(batch.done, batch.rows), batch.rows, words, waits, silent)


def is_silent(batch: ImportBatch) -> bool:
    """Whether nothing was heard for long of an import that is under way."""
    return batch.state == State.RUNNING and _older(batch, "heard_at", SILENT)


def _older(batch: ImportBatch, name: str, age: timedelta) -> bool:
    said = batch.said.get(name)
    return said is None or timezone.now() - datetime.fromisoformat(said) > age
