"""A category's list as an organiser posted it: kept line by line, ours set by it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID, uuid4

from django.core.exceptions import ValidationError
from django.db import transaction

from teamops.calc.reading import FieldRow
from teamops.contests.models import Contest, Entry
from teamops.judging.actions.corrections import (
    changes,
    correction_words,
    lock_entry,
    overwrites,
    set_official,
    write_correction,
)
from teamops.judging.models import FieldLine, Posting
from teamops.judging.queries import entry_name
from teamops.teams.models import User

BATCH = 500
LONGEST_WHY = 300


@dataclass(frozen=True, slots=True)
class KeptPosting:
    """The list as kept, and sentences about what it did to our entries."""

    posting: Posting
    says: tuple[str, ...] = ()


@transaction.atomic
def keep_posting(
    *,
    posting: Posting,
    rows: Sequence[FieldRow],
    ours: Mapping[UUID, int],
    whole_field: bool,
    official: bool,
    by: User,
) -> KeptPosting:
    """
    Keep a list with all its lines, or nothing; an earlier one stays as it is.

    `ours` says which line (its `at`) is which entry of the posting's contest and category.
    Where `official`, those entries get their placing, total and tie from their line, and, where
    the list has the `whole_field`, its size; a list older than one that is kept changes nothing.
    What was official before is written down as a correction. The same page sent twice is kept
    once; put right and sent again, it is a later list.

    Refuses (ValidationError) a list without lines and what cannot be stored.
    """
    # one writer a contest; SQLite ignores the lock, its IMMEDIATE transaction serves instead
    Contest.objects.select_for_update().get(pk=posting.contest_id)
    if not rows:
        raise ValidationError("No line of this list is kept. Keep one at least.")
    entries = _entries(posting, ours, rows)
    by_line = {at: pk for pk, at in ours.items()}
    lines = [_line(posting, order, row, by_line.get(row.at)) for order, row in enumerate(rows, 1)]
    known = Posting.objects.filter(pk=posting.pk).first()
    if known and _is_same(known, posting, lines):  # the page was sent twice
        return KeptPosting(known)
    if known:  # the same page, gone back to and put right: a list of its own
        posting.pk = uuid4()
    posting.recorded_by = by
    posting.full_clean()
    posting.save(force_insert=True)
    for line in lines:
        line.posting = posting
    FieldLine.objects.bulk_create(lines, batch_size=BATCH)
    if not (official and entries):
        return KeptPosting(posting)
    newer = newer_than(posting)
    if newer:
        words = f"A list of {day_words(newer)} is newer and still holds: nothing of ours changed."
        return KeptPosting(posting, (words,))
    says = [
        _set_ours(entry, row, rows, posting, whole_field=whole_field, by=by)
        for entry, row in entries
    ]
    return KeptPosting(posting, tuple(filter(None, says)))


def _is_same(known: Posting, posting: Posting, lines: Sequence[FieldLine]) -> bool:
    """Whether a kept list says just what this one says."""
    own = ("contest_id", "category_id", "round", "posted_on", "note", "text")
    if any(getattr(known, name) != getattr(posting, name) for name in own):
        return False
    columns = ("placing", "name", "number", "table", "total", "note", "parts", "entry_id")
    stored = [list(values) for values in known.lines.values_list(*columns)]
    return stored == [[getattr(line, name) for name in columns] for line in lines]


def newer_than(posting: Posting) -> Posting | None:
    """A list of the same round that was posted on a later day, if one is kept."""
    same = Posting.objects.filter(
        contest=posting.contest_id, category=posting.category_id, round=posting.round
    )
    return same.filter(posted_on__gt=posting.posted_on).order_by("posted_on").last()


def day_words(posting: Posting) -> str:
    """The day a list was posted, as one says it: 12 June."""
    return f"{posting.posted_on.day} {posting.posted_on:%B}"


def _entries(
    posting: Posting, ours: Mapping[UUID, int], rows: Sequence[FieldRow]
) -> list[tuple[Entry, FieldRow]]:
    if len(set(ours.values())) < len(ours):
        raise ValidationError("Two boxes of yours cannot be the same line.")
    by_at = {row.at: row for row in rows}
    if not set(ours.values()) <= by_at.keys():
        raise ValidationError("The line that is yours is left out of the list.")
    found = Entry.objects.filter(
        pk__in=ours, contest=posting.contest_id, category=posting.category_id
    )
    entries = {entry.pk: entry for entry in found}
    if len(entries) < len(ours):
        raise Entry.DoesNotExist("That entry is not of this contest and category.")
    return [(entries[pk], by_at[at]) for pk, at in ours.items()]


def _line(posting: Posting, order: int, row: FieldRow, entry_id: UUID | None) -> FieldLine:
    parts = dict(row.parts) | ({"cook": row.cook} if row.cook else {})
    line = FieldLine(
        posting=posting,
        order=order,
        placing=row.placing,
        name=row.name,
        number=row.number,
        table=row.table,
        total=row.total,
        parts=parts,
        note=row.note,
        entry_id=entry_id,
    )
    line.clean_fields(exclude=["posting", "entry"])
    return line


def posted_values(row: FieldRow, rows: Sequence[FieldRow], *, whole_field: bool) -> dict[str, Any]:
    """
    What a list says of the entry that this line of it is.

    A list with a place beyond its own length is not the whole field, whatever was ticked.
    """
    values: dict[str, Any] = {}
    if any(other.placing for other in rows):
        values["placing"] = row.placing
        same = [other for other in rows if other.placing == row.placing and not other.out]
        values["tied"] = bool(row.placing) and (row.shared or len(same) > 1)
    if row.total is not None:
        values["official_total"] = row.total
    if whole_field and max((other.placing or 0 for other in rows), default=0) <= len(rows):
        values["field_size"] = len(rows)
    if row.out == "disqualified":
        values["disqualified"] = True
    return values


def _set_ours(
    entry: Entry,
    row: FieldRow,
    rows: Sequence[FieldRow],
    posting: Posting,
    *,
    whole_field: bool,
    by: User,
) -> str:
    """Set one entry by its line; what that corrected, in words."""
    entry = lock_entry(entry)
    changed = changes(entry, posted_values(row, rows, whole_field=whole_field))
    if not changed:
        return ""
    words = correction_words(entry, changed)
    corrects = overwrites(entry, changed)
    set_official(entry, changed, seen=entry.version, by=by)
    if not corrects:
        return ""
    why = f"list of {day_words(posting)}"
    why = f"{why}: {posting.note}" if posting.note else why
    write_correction(entry, words, corrected_on=posting.posted_on, why=why[:LONGEST_WHY], by=by)
    return f"{entry_name(entry)}: {words}"
