"""Results are stored when sheets are; worked out anew, they must come out the same."""

from collections.abc import Iterator

from django.db import transaction
from django.db.models import Q

from teamops.contests.models import Entry
from teamops.judging.history import save_with_history
from teamops.judging.models import CriterionResult, Result
from teamops.judging.worked import Worked, work_out
from teamops.teams.models import User


def store_results(
    entry: Entry, *, result: Result | None = None, by: User | None = None
) -> list[str]:
    """
    Work an entry's result out anew and keep it; what differed before, in words.

    With a claimed `result` its row is always written; without, only where it differs.
    """
    worked = work_out(entry)
    row = result or Result.objects.filter(entry=entry).first() or unsaved_result(entry)
    differed = list(_differences(row, worked))
    if differed or result is not None:
        _write(row, worked, by)
    return differed


def rescore(*, check: bool = False) -> Iterator[str]:
    """Work every result out anew and say what differed; with `check` nothing is written."""
    entries = (
        Entry.objects.filter(
            Q(sheets__isnull=False)
            | Q(result__isnull=False)
            | Q(official_total__isnull=False)
            | Q(placing__isnull=False)
        )
        .distinct()
        .select_related("contest", "category", "rulebook", "result")
        .order_by("contest__held_on", "pk")
    )
    for entry in entries.iterator(chunk_size=200):
        with transaction.atomic():
            row = getattr(entry, "result", None) or unsaved_result(entry)
            worked = work_out(entry)
            differed = list(_differences(row, worked))
            if differed and not check:
                _write(row, worked)
        for words in differed:
            yield f"{entry}: {words}"


def unsaved_result(entry: Entry) -> Result:
    """A result before the first save of its entry's papers: version 0, not in the database."""
    return Result(entry=entry, version=0)


def _differences(row: Result, worked: Worked) -> Iterator[str]:
    """What is stored otherwise than worked out, in words."""
    if row._state.adding:
        yield "no result was kept"
        return
    for name, value in worked.columns.items():
        if getattr(row, name) != value:
            yield f"{name} was {getattr(row, name)}, is {value}"
    stored = {line.criterion_id: line for line in row.criteria.all()}
    if stored.keys() != worked.lines.keys():
        yield f"{len(stored)} criteria were kept, there are {len(worked.lines)}"
        return
    for key, values in worked.lines.items():
        for name, value in values.items():
            if getattr(stored[key], name) != value:
                yield f"criterion {key}: {name} was {getattr(stored[key], name)}, is {value}"


def _write(row: Result, worked: Worked, by: User | None = None) -> None:
    for name, value in worked.columns.items():
        setattr(row, name, value)
    save_with_history(row, by=by)
    row.criteria.all().delete()
    CriterionResult.objects.bulk_create(
        CriterionResult(result=row, criterion_id=key, **values)
        for key, values in worked.lines.items()
    )
