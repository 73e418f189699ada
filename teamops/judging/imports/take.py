"""A table taken in: whole, or not at all."""

from collections.abc import Callable, Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.core.exceptions import ValidationError
from django.db import models, transaction
from django.utils import timezone
from simple_history.utils import bulk_create_with_history, bulk_update_with_history

from teamops.calc.words import count_of, list_words, opening
from teamops.contests.models import Category, Contest, Entry, Trip
from teamops.judging.actions.many import keep_results
from teamops.judging.imports.build import Builder
from teamops.judging.imports.plan import Worked, work_out
from teamops.judging.imports.rows import Rows
from teamops.judging.models import CriterionTotal, Mark, Result, ScoreSheet
from teamops.teams.models import ImportBatch, Team, User

KINDS: dict[str, type[models.Model]] = {
    "contest": Contest, "entry": Entry, "sheet": ScoreSheet, "mark": Mark, "total": CriterionTotal,
}  # fmt: skip
VERSIONED = (Contest, Entry)
PLANNED, RECKONED = 0.4, 0.8  # of the rows are said to be done by then
SAID = 20  # sentences about one import that are kept

Progress = Callable[[int, int], None]


def take_in(*, batch: ImportBatch, by: User, progress: Progress = lambda done, rows: None) -> None:
    """
    Take a batch's rows in as its columns say, whole or not at all; taking it in twice is once.

    What it made and changed is kept in `made`, what it came to in `said`; the batch is then done.
    `progress` hears how many of its rows are dealt with, outside of any transaction of ours until
    the writing itself, so that it can be seen while it goes on. Raises ValidationError, in words,
    where a row is wrong or a question open, and leaves everything as it was.
    """
    if ImportBatch.objects.filter(pk=batch.pk, state=ImportBatch.State.DONE).exists():
        return
    rows = len(batch.cells)
    progress(0, rows)
    worked = _worked(batch)
    progress(int(PLANNED * rows), rows)
    share = RECKONED - PLANNED
    built = Builder(worked, by).build(
        lambda done, total: progress(int((PLANNED + share * done / total) * rows), rows)
    )
    with transaction.atomic():
        Team.objects.select_for_update().get(pk=batch.team_id)
        locked = ImportBatch.objects.select_for_update(of=("self",)).get(pk=batch.pk)
        if locked.state == ImportBatch.State.DONE:
            return
        if _stamp(worked) != _stamp_now(batch.team):  # somebody wrote meanwhile: all over again
            worked = _worked(batch)
            built = Builder(worked, by).build(lambda done, total: None)
        batch.made = _write(built, by)
        batch.said = _said(worked, built)
        batch.state, batch.done, batch.rows = ImportBatch.State.DONE, rows, rows
        batch.finished_at = timezone.now()
        batch.save(update_fields=["made", "said", "state", "done", "rows", "finished_at"])
        transaction.on_commit(lambda: Team.objects.filter(pk=batch.team_id).restamp())
    progress(rows, rows)


def _worked(batch: ImportBatch) -> Worked:
    """The plan anew; refused where it is not good."""
    worked = work_out(batch.team, batch.cells, batch.columns)
    plan = worked.plan
    if plan.is_good:
        return worked
    said = list(plan.problems[:SAID])
    said += [f"Not answered: {one.label}" for one in plan.questions if one.is_open]
    more = len(plan.problems) - SAID
    if more > 0:
        said.append(f"{opening(count_of(more, 'more'))} like these.")
    raise ValidationError(said or ["All of it is here already: there is nothing to take in."])


def _stamp(worked: Worked) -> set[tuple[Any, ...]]:
    """By what it is known that nobody wrote since the plan was made."""
    known = worked.known
    versions: set[tuple[Any, ...]] = {("contest", one.pk, _was(one)) for one in known.contests}
    versions |= {("entry", e.pk, _was(e)) for own in known.entries.values() for e in own}
    versions |= {("category", one.pk) for one in known.categories.values()}
    versions |= {("result", pk, version) for pk, version in known.results.items()}
    return versions


def _was(row: Any) -> int:
    return int(row.version)


def _stamp_now(team: Team) -> set[tuple[Any, ...]]:
    contests = Contest.objects.for_team(team).order_by().values_list("pk", "version")
    entries = Entry.objects.for_team(team).order_by().values_list("pk", "version")
    results = Result.objects.for_team(team).order_by().values_list("pk", "version")
    categories = Category.objects.for_team(team).order_by().values_list("pk", flat=True)
    stamp: set[tuple[Any, ...]] = {("contest", *one) for one in contests}
    stamp |= {("entry", *one) for one in entries} | {("result", *one) for one in results}
    return stamp | {("category", pk) for pk in categories}


def _write(built: Rows, by: User) -> dict[str, Any]:
    """Write all rows; what was made and changed, for undoing it."""
    new_results = [row.entry_id for row, _ in built.results if row._state.adding]
    Trip.objects.bulk_create(built.trips)
    Category.objects.bulk_create(built.categories.values())
    for rows in (built.contests, built.entries, built.sheets, built.marks, built.totals):
        if rows:
            bulk_create_with_history(rows, type(rows[0]), default_user=by)
    for model, changes in built.changed.items():
        _change(model, [row for row, _ in changes.values()], changes, by)
    keep_results(built.results, by=by)
    frozen = [book for book in built.frozen.values() if book.frozen_at is None]
    for book in frozen:
        book.freeze()
    made_sheets = {sheet.pk for sheet in built.sheets}
    versions = [*built.contests, *built.entries]
    versions += [row for model in VERSIONED for row, _ in built.changed.get(model, {}).values()]
    return {
        "trips": [str(row.pk) for row in built.trips],
        "categories": [str(row.pk) for row in built.categories.values()],
        "contests": [str(row.pk) for row in built.contests],
        "entries": [str(row.pk) for row in built.entries],
        "sheets": [str(pk) for pk in made_sheets],
        "marks": [row.pk for row in built.marks if row.sheet_id not in made_sheets],
        "totals": [row.pk for row in built.totals],
        "new_results": [str(pk) for pk in new_results],
        "results": {str(row.entry_id): row.version for row, _ in built.results},
        "versions": {str(row.pk): row.version for row in versions},
        "frozen": [str(book.pk) for book in frozen],
        "before": _before(built),
    }


def _change(
    model: type[models.Model],
    rows: Sequence[Any],
    changes: dict[Any, tuple[Any, dict[str, Any]]],
    by: User,
) -> None:
    """Write the changed fields of stored rows, counting the write where versions are kept."""
    names = {name for _, before in changes.values() for name in before}
    if model in VERSIONED:
        names |= {"version", "changed_by"}
        for row in rows:
            row.version, row.changed_by = row.version + 1, by
    bulk_update_with_history(rows, model, sorted(names), default_user=by)


def _before(built: Rows) -> dict[str, dict[str, dict[str, Any]]]:
    kinds = {model: kind for kind, model in KINDS.items()}
    return {
        kinds[model]: {
            str(pk): {name: as_json(value) for name, value in before.items()}
            for pk, (_, before) in changes.items()
        }
        for model, changes in built.changed.items()
    }


def as_json(value: Any) -> Any:
    """A field's value for a JSON column; `Field.to_python` reads it back."""
    if isinstance(value, models.Model):
        return value.pk
    if isinstance(value, Decimal | UUID):
        return str(value)
    return value.isoformat() if isinstance(value, date | datetime) else value


def _said(worked: Worked, built: Rows) -> dict[str, Any]:
    """What the import came to, in words and numbers."""
    numbers = {
        "contests": len(built.contests),
        "boxes": len(built.entries),
        "sheets": len(built.sheets),
        "totals": len(built.totals),
        "changes": sum(map(len, built.changed.values())),
    }
    nouns = (("contests", "contest"), ("boxes", "box"), ("sheets", "sheet"))
    parts = [
        count_of(numbers[key], noun).replace("boxs", "boxes") for key, noun in nouns if numbers[key]
    ]
    words = [f"{opening(list_words(parts))} made."] if parts else []
    changed = worked.plan.counts["changes"]
    if changed:
        words.append(f"{opening(count_of(changed, 'row'))} changed what was stored.")
    words += built.differs[:SAID]
    return {"numbers": numbers, "counts": dict(worked.plan.counts), "words": words}
