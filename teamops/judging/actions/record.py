"""A whole envelope written at once, or not at all."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from simple_history.utils import bulk_create_with_history, bulk_update_with_history

from teamops.contests.actions import mark_cooked
from teamops.contests.models import Contest, Entry
from teamops.judging.actions.results import store_results, unsaved_result
from teamops.judging.history import (
    bulk_delete_with_history,
    save_with_history,
    save_without_history,
)
from teamops.judging.models import CriterionTotal, Mark, Result, ScoreSheet
from teamops.rules.models import Criterion
from teamops.teams.models import User

OFFICIAL = (
    "official_total",
    "placing",
    "field_size",
    "tied",
    "disqualified",
    "disqualified_why",
)
OWN = (
    "position",
    "seat",
    "panel",
    "round",
    "table",
    "given_total",
    "co_judged",
    "comment",
)


@dataclass(frozen=True, slots=True)
class TypedSheet:
    """
    One judge's paper as typed: marks by criterion id, None for a blank. [points]

    `said` holds the paper's own words for the marks where it is odd, by criterion id too.
    """

    id: UUID
    marks: Mapping[int, Decimal | None] = field(default_factory=dict)
    seat: str = ""
    panel: str = ""
    table: str = ""
    given_total: Decimal | None = None
    comment: str = ""
    said: Mapping[int, str] = field(default_factory=dict)
    round: str = ""
    co_judged: bool = False

    @property
    def is_empty(self) -> bool:
        """Whether nothing is on it; a seat or a table alone is no sheet."""
        return not (self.is_marked or self.comment or self.given_total is not None)

    @property
    def is_marked(self) -> bool:
        """Whether anything stands in a box of it, be it a number or not."""
        return any(mark is not None for mark in self.marks.values()) or any(self.said.values())


@dataclass(slots=True)
class _Writes:
    """What has to be written so that the table is as typed."""

    new_sheets: list[ScoreSheet] = field(default_factory=list)
    changed_sheets: list[ScoreSheet] = field(default_factory=list)
    gone_sheets: list[ScoreSheet] = field(default_factory=list)
    new_marks: list[Mark] = field(default_factory=list)
    changed_marks: list[Mark] = field(default_factory=list)
    gone_marks: list[Mark] = field(default_factory=list)
    new_totals: list[CriterionTotal] = field(default_factory=list)
    changed_totals: list[CriterionTotal] = field(default_factory=list)
    gone_totals: list[CriterionTotal] = field(default_factory=list)

    def __bool__(self) -> bool:
        return any(getattr(self, name) for name in self.__slots__)


@transaction.atomic
def record_scores(
    *,
    entry: Entry,
    seen: int,
    sheets: Sequence[TypedSheet],
    official: Mapping[str, Any],
    by: User,
    op: UUID | None = None,
    criterion_totals: Mapping[int, Decimal | None] | None = None,
) -> Result:
    """
    Write an entry's envelope as typed, with the results it changes, or nothing.

    `sheets` is the whole table: a stored sheet that is not in it, or is empty in it, is taken
    away. `official` holds what of `OFFICIAL` is to change on the entry. Odd marks are kept; what
    is odd is said where they are shown. `criterion_totals` is what the organiser gave for each
    criterion, by its id; None leaves what is stored. `op` names the page that sends this: sent
    twice, the second writes nothing.

    Raises Conflict if someone saved since version `seen` (0: nobody has yet), ValidationError for
    what cannot be stored, ScoreSheet.DoesNotExist for a sheet of another entry.
    """
    entry = _lock(entry)
    result = Result.objects.filter(entry=entry).first() or _first_result(entry)
    typed = [sheet for sheet in sheets if not sheet.is_empty]
    writes = _plan(entry, typed, by)
    if criterion_totals is not None:
        _plan_totals(entry, criterion_totals, writes)
    official = {name: value for name, value in official.items() if getattr(entry, name) != value}
    if op is not None and op == result.saved_op:  # this very page again: it has seen its own save
        if not writes and not official:
            return result
        seen = result.version
    result.claim(seen=seen, by=by)
    _write(writes, by)
    _set_official(entry, official, by)
    result.saved_op, result.saved_at = op, timezone.now()
    store_results(entry, result=result, by=by)
    written = bool(typed) or result.basis == Result.Basis.CRITERION_TOTALS
    if written:
        entry.rulebook.freeze()
    if written != bool(entry.marked_at):
        entry.marked_at = timezone.now() if written else None
        save_without_history(entry, update_fields=["marked_at"])
    if result.basis != Result.Basis.NONE:
        mark_cooked(contest=entry.contest, by=by)
    return result


def _lock(entry: Entry) -> Entry:
    """One writer an entry; SQLite ignores the locks, its IMMEDIATE transaction serves instead."""
    contest = Contest.objects.select_for_update().get(pk=entry.contest_id)
    rows = Entry.objects.select_for_update(of=("self",)).select_related("rulebook", "category")
    entry = rows.prefetch_related("rulebook__criteria").get(pk=entry.pk)
    entry.contest = contest
    return entry


def _first_result(entry: Entry) -> Result:
    result = unsaved_result(entry)
    save_without_history(result, force_insert=True)
    return result


def _plan(entry: Entry, typed: Sequence[TypedSheet], by: User) -> _Writes:
    """Compare what is typed with what is stored."""
    ids = [sheet.id for sheet in typed]
    if len(set(ids)) < len(ids):
        raise ValidationError("The same sheet is there twice.")
    if ScoreSheet.objects.filter(pk__in=ids).exclude(entry=entry).exists():
        raise ScoreSheet.DoesNotExist("That sheet belongs to another entry.")
    stored = {sheet.pk: sheet for sheet in entry.sheets.prefetch_related("marks")}
    criteria = {row.pk: row for row in entry.rulebook.criteria.all()}
    writes = _Writes()
    for position, sheet in enumerate(typed, start=1):
        if not sheet.marks.keys() <= criteria.keys():
            raise ValidationError("A mark belongs to another rulebook than this entry’s.")
        row = stored.pop(sheet.id, None)
        known = [] if row is None else list(row.marks.all())
        row = _plan_sheet(row or ScoreSheet(pk=sheet.id, entry=entry), sheet, position, writes, by)
        _plan_marks(row, known, sheet, criteria, writes)
    writes.gone_sheets = [*stored.values()]
    writes.gone_marks = [mark for row in writes.gone_sheets for mark in row.marks.all()]
    return writes


def _plan_sheet(
    row: ScoreSheet, typed: TypedSheet, position: int, writes: _Writes, by: User
) -> ScoreSheet:
    new = row._state.adding
    before = [getattr(row, name) for name in OWN]
    row.position = position
    for name in OWN[1:]:
        setattr(row, name, getattr(typed, name))
    if new:
        row.recorded_by = by
        writes.new_sheets.append(row)
    elif before != [getattr(row, name) for name in OWN]:
        writes.changed_sheets.append(row)
    row.clean_fields(exclude=["entry", "recorded_by"])
    return row


def _plan_marks(
    row: ScoreSheet,
    known: Sequence[Mark],
    typed: TypedSheet,
    criteria: Mapping[int, Criterion],
    writes: _Writes,
) -> None:
    """A mark or a blank for each criterion of a sheet that has marks; none where it has none."""
    marks = {mark.criterion_id: mark for mark in known}
    for key, criterion in criteria.items():
        value, said, mark = typed.marks.get(key), typed.said.get(key, ""), marks.get(key)
        if mark is None and typed.is_marked and key in typed.marks:
            mark = Mark(sheet=row, criterion=criterion, points=value, said=said)
            writes.new_marks.append(mark)
        elif mark is not None and (mark.points, mark.said) != (value, said):
            mark.points, mark.said = value, said
            writes.changed_marks.append(mark)
        else:
            continue
        mark.clean_fields(exclude=["sheet", "criterion"])


def _plan_totals(entry: Entry, totals: Mapping[int, Decimal | None], writes: _Writes) -> None:
    """What was given for each criterion, compared with what is stored; one query."""
    stored = {row.criterion_id: row for row in entry.criterion_totals.order_by("pk")}
    criteria = {row.pk: row for row in entry.rulebook.criteria.all()}
    if not totals.keys() <= criteria.keys():
        raise ValidationError("A total belongs to another rulebook than this entry’s.")
    for key, points in totals.items():
        row = stored.get(key)
        if row is None and points is not None:
            row = CriterionTotal(entry=entry, criterion=criteria[key], points=points)
            writes.new_totals.append(row)
        elif row is not None and points is None:
            writes.gone_totals.append(row)
            continue
        elif row is not None and row.points != points:
            row.points = points
            writes.changed_totals.append(row)
        if row is not None:
            row.clean_fields(exclude=["entry", "criterion"])


def _write(writes: _Writes, by: User) -> None:
    bulk_delete_with_history(writes.gone_marks, Mark, by=by)
    bulk_delete_with_history(writes.gone_sheets, ScoreSheet, by=by)
    bulk_delete_with_history(writes.gone_totals, CriterionTotal, by=by)
    for rows, fields in (
        (writes.changed_sheets, OWN),
        (writes.changed_marks, ("points", "said")),
        (writes.changed_totals, ("points",)),
    ):
        if rows:
            bulk_update_with_history(rows, type(rows[0]), fields, default_user=by)
    for rows in (writes.new_sheets, writes.new_marks, writes.new_totals):
        if rows:
            bulk_create_with_history(rows, type(rows[0]), default_user=by)


def _set_official(entry: Entry, official: Mapping[str, Any], by: User) -> None:
    """Write what the organiser posted; the entry's own version counts it, for who else edits it."""
    if not official:
        return
    if not official.keys() <= set(OFFICIAL):
        raise ValidationError("That is not part of what an organiser posts.")
    entry.claim(seen=entry.version, by=by)
    for name, value in official.items():
        setattr(entry, name, value)
    entry.clean_fields(exclude={f.name for f in entry._meta.fields} - official.keys())
    save_with_history(entry, by=by, update_fields=[*official, "version", "changed_by"])
