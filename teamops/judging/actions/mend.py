"""Papers put right: not ours, columns or boxes swapped, judged by another rulebook.

Each leaves a dated line in words among the entry's corrections, beside the history of every row.
"""

from collections.abc import Iterable, Mapping, Sequence
from uuid import UUID

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from simple_history.utils import bulk_update_with_history

from teamops.calc.words import list_words, opening, plain
from teamops.contests.models import Entry
from teamops.judging.actions.corrections import lock_entry, write_correction
from teamops.judging.actions.results import store_results, unsaved_result
from teamops.judging.history import (
    bulk_delete_with_history,
    save_with_history,
    save_without_history,
)
from teamops.judging.models import CriterionTotal, Mark, Result, ScoreSheet
from teamops.judging.reckon import sheet_labels
from teamops.rules.models import Criterion, Rulebook
from teamops.teams.models import User

LONGEST = 500  # a correction's words, and a sheet's comment


@transaction.atomic
def take_out_sheet(*, entry: Entry, sheet_id: UUID, seen: int, by: User) -> None:
    """
    Take another team's sheet out of the sums; what stood on it is written down.

    Raises Conflict if someone saved the table since version `seen`, ScoreSheet.DoesNotExist for a
    sheet of another entry.
    """
    entry, result = _claimed(entry, seen, by)
    sheets = _sheets(entry)
    place = _place(sheets, sheet_id)
    sheet = sheets[place]
    words = f"The sheet of {sheet_labels(sheets)[place]} was not ours and is taken out"
    bulk_delete_with_history([*sheet.marks.all()], Mark, by=by)
    bulk_delete_with_history([sheet], ScoreSheet, by=by)
    _done(entry, result, f"{words}: {_contents(sheet)}.", by)


@transaction.atomic
def swap_columns(
    *, entry: Entry, sheet_id: UUID, first: int, second: int, seen: int, by: User
) -> None:
    """
    Give two criteria of one sheet each other's marks, as the judge mixed up the columns.

    Raises as `take_out_sheet`, and ValidationError for columns that are not both on the sheet.
    """
    entry, result = _claimed(entry, seen, by)
    sheets = _sheets(entry)
    place = _place(sheets, sheet_id)
    marks = {mark.criterion_id: mark for mark in sheets[place].marks.all()}
    one, other = marks.get(first), marks.get(second)
    if one is None or other is None or one is other:
        raise ValidationError("Choose two columns of this sheet.")
    one.points, other.points = other.points, one.points
    one.said, other.said = other.said, one.said
    bulk_update_with_history([one, other], Mark, ["points", "said"], default_user=by)
    names = f"{one.criterion.name.lower()} and {other.criterion.name.lower()}"
    _done(entry, result, f"{opening(sheet_labels(sheets)[place])}: {names} were swapped.", by)


@transaction.atomic
def swap_boxes(
    *, entry: Entry, other: Entry, seen: int, other_seen: int, by: User, sheet_id: UUID | None
) -> None:
    """
    Give two of our boxes each other's sheets: all, or one with the other's of the same seat.

    One without a counterpart just goes over. Raises as `take_out_sheet` for either box, and
    ValidationError where they are not of one category at one contest under one rulebook.
    """
    key = (entry.contest_id, entry.category_id, entry.rulebook_id)
    if key != (other.contest_id, other.category_id, other.rulebook_id) or entry.pk == other.pk:
        raise ValidationError("Only two boxes of one category, judged by one rulebook, can swap.")
    entry, result = _claimed(entry, seen, by)
    other, other_result = _claimed(other, other_seen, by)
    ours, theirs = _sheets(entry), _sheets(other)
    words = "All sheets"
    if sheet_id is not None:
        place = _place(ours, sheet_id)
        words = f"The sheet of {sheet_labels(ours)[place]}"
        ours, theirs = _one_for_one(ours[place], theirs)
    for sheet in ours:
        sheet.entry = other
    for sheet in theirs:
        sheet.entry = entry
    moved = [*ours, *theirs]
    if moved:
        bulk_update_with_history(moved, ScoreSheet, ["entry", "position"], default_user=by)
    how = "swapped with" if theirs else "given to"
    _done(entry, result, f"{words} {how} our other box, {_box(other)}.", by)
    _done(other, other_result, f"{words} {'swapped with' if theirs else 'came from'} our other "
          f"box, {_box(entry)}.", by)  # fmt: skip


@transaction.atomic
def judge_by(*, entry: Entry, rulebook: Rulebook, seen: int, by: User) -> None:
    """
    Put an entry with papers under the rulebook that it really was judged by.

    Marks go to the criterion of the same key, else of the same name. A mark that the other book
    has no place for is written into its sheet's comment, a total into the correction. Raises
    Conflict if someone saved the table since version `seen`.
    """
    entry, result = _claimed(entry, seen, by)
    if rulebook.pk == entry.rulebook_id:
        return
    was, sheets = entry.rulebook, _sheets(entry)
    to = _matching(was.criteria.all(), list(rulebook.criteria.all()))
    lost = _move_marks(sheets, to, by)
    lost += _move_totals(entry, to, by)
    entry.claim(seen=entry.version, by=by)
    entry.rulebook = rulebook
    save_with_history(entry, by=by, update_fields=["rulebook", "version", "changed_by"])
    rulebook.freeze()
    words = f"Judged by {rulebook}, not by {was}."
    if lost:
        words += f" What its sheet has no place for: {list_words(list(dict.fromkeys(lost)))}."
    _done(entry, result, words, by)


def _claimed(entry: Entry, seen: int, by: User) -> tuple[Entry, Result]:
    """The entry for one writer, and its result with this write counted."""
    locked = lock_entry(entry)
    result = Result.objects.filter(entry=locked).first()
    if result is None:
        result = unsaved_result(locked)
        save_without_history(result, force_insert=True)
    result.claim(seen=seen, by=by)
    return locked, result


def _done(entry: Entry, result: Result, words: str, by: User) -> None:
    """Work the result out anew and write down what was done."""
    result.saved_at = timezone.now()
    fresh = Entry.objects.select_related("contest", "category", "rulebook").get(pk=entry.pk)
    store_results(fresh, result=result, by=by)
    written = fresh.sheets.exists() or fresh.criterion_totals.exists()
    if written != bool(fresh.marked_at):
        fresh.marked_at = timezone.now() if written else None
        save_without_history(fresh, update_fields=["marked_at"])
    today = timezone.localdate(timezone=fresh.contest.zone)
    short = words if len(words) <= LONGEST else f"{words[: LONGEST - 1]}…"
    write_correction(fresh, short, corrected_on=today, why="", by=by)


def _sheets(entry: Entry) -> list[ScoreSheet]:
    rows = entry.sheets.order_by("position", "pk").prefetch_related("marks__criterion")
    return list(rows)


def _place(sheets: Sequence[ScoreSheet], sheet_id: UUID) -> int:
    for place, sheet in enumerate(sheets):
        if sheet.pk == sheet_id:
            return place
    raise ScoreSheet.DoesNotExist("That sheet is not in this entry’s envelope.")


def _one_for_one(
    sheet: ScoreSheet, theirs: Sequence[ScoreSheet]
) -> tuple[list[ScoreSheet], list[ScoreSheet]]:
    """A sheet, and the other box's of the same seat or place, if it has one, in its position."""
    same = [row for row in theirs if (row.round, row.panel) == (sheet.round, sheet.panel)]
    by_seat = [row for row in same if sheet.seat and row.seat == sheet.seat]
    by_place = [row for row in same if row.position == sheet.position and not row.seat]
    for back in [*by_seat, *by_place][:1]:
        sheet.position, back.position = back.position, sheet.position
        return [sheet], [back]
    sheet.position = 1 + max((row.position for row in theirs), default=0)
    return [sheet], []


def _contents(sheet: ScoreSheet) -> str:
    """What stands on a sheet, in words."""
    parts = [f"{mark.criterion.name.lower()} {_told(mark)}" for mark in sheet.marks.all()]
    if sheet.given_total is not None:
        parts.append(f"total {plain(sheet.given_total)}")
    if sheet.comment:
        parts.append(f"“{sheet.comment[:80]}”")
    return ", ".join(parts) or "nothing"


def _told(mark: Mark) -> str:
    return mark.said or ("blank" if mark.points is None else plain(mark.points))


def _box(entry: Entry) -> str:
    number = entry.blind_number or entry.team_number
    return f"number {number}" if number else str(entry.category)


def _matching(old: Iterable[Criterion], new: Sequence[Criterion]) -> Mapping[int, Criterion]:
    """The new book's criterion for each of the old one's, by key, else by name; none twice."""
    keys = {row.key: row for row in new}
    names = {row.name.casefold(): row for row in new}
    found: dict[int, Criterion] = {}
    rows = list(old)
    for row in rows:
        if row.key in keys:
            found[row.pk] = keys[row.key]
    for row in rows:
        match = names.get(row.name.casefold())
        if row.pk not in found and match and match not in found.values():
            found[row.pk] = match
    return found


def _move_marks(sheets: Sequence[ScoreSheet], to: Mapping[int, Criterion], by: User) -> list[str]:
    """Marks to the other book's criteria; what has no place there goes into the comment."""
    moved, gone, noted, lost = [], [], [], []
    for sheet in sheets:
        left = []
        for mark in sheet.marks.all():
            match = to.get(mark.criterion_id)
            if match is None:
                left.append(f"{mark.criterion.name.lower()} {_told(mark)}")
                lost.append(mark.criterion.name.lower())
                gone.append(mark)
            else:
                mark.criterion = match
                moved.append(mark)
        panels = {mark.criterion.panel for mark in sheet.marks.all() if mark not in gone}
        comment = f"{sheet.comment} Also marked: {', '.join(left)}.".strip() if left else ""
        panel = panels.pop() if len(panels) == 1 else sheet.panel
        if comment or panel != sheet.panel:
            sheet.comment = (comment or sheet.comment)[:LONGEST]
            sheet.panel = panel
            noted.append(sheet)
    bulk_delete_with_history(gone, Mark, by=by)
    if moved:
        bulk_update_with_history(moved, Mark, ["criterion"], default_user=by)
    if noted:
        bulk_update_with_history(noted, ScoreSheet, ["comment", "panel"], default_user=by)
    return [f"{name}, in the comments" for name in dict.fromkeys(lost)]


def _move_totals(entry: Entry, to: Mapping[int, Criterion], by: User) -> list[str]:
    moved, gone = [], []
    for row in entry.criterion_totals.select_related("criterion").order_by("pk"):
        match = to.get(row.criterion_id)
        if match is None:
            gone.append(row)
        else:
            row.criterion = match
            moved.append(row)
    bulk_delete_with_history(gone, CriterionTotal, by=by)
    if moved:
        bulk_update_with_history(moved, CriterionTotal, ["criterion"], default_user=by)
    return [f"{row.criterion.name.lower()} {plain(row.points)}" for row in gone if row.points]
