"""The debrief of a contest, and what becomes of the points it left open."""

from collections.abc import Iterable, Mapping
from datetime import date

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from teamops.contests.actions import save_task
from teamops.contests.models import Contest, Task
from teamops.judging.actions.changes import delete_change, save_change
from teamops.judging.models import Change, Debrief, OpenPoint
from teamops.teams.models import User
from teamops.teams.versions import Conflict

WORDS = ("happened", "keep", "change")
LONGEST = 120  # of what a to-do or a change is called


@transaction.atomic
def save_debrief(*, contest: Contest, words: Mapping[str, str], seen: int, by: User) -> Debrief:
    """
    Keep what the team says of a contest; `seen` 0 is before the first.

    Raises Conflict if somebody wrote since version `seen`; the same words once more do no harm.
    """
    debrief, made = Debrief.objects.get_or_create(contest=contest)
    said = {name: words.get(name, "") for name in WORDS}
    if not made and said == {name: getattr(debrief, name) for name in WORDS}:
        return debrief
    if not made and not seen:
        raise Conflict(debrief)
    debrief.claim(seen=debrief.version if made else seen, by=by)
    for name, value in said.items():
        setattr(debrief, name, value)
    debrief.full_clean()
    debrief.save()
    return debrief


@transaction.atomic
def add_points(*, contest: Contest, lines: Iterable[str], by: User) -> int:
    """Add open points, one a line; one that is there already is not added again. How many."""
    there = set(contest.open_points.values_list("words", flat=True))
    added = 0
    for line in lines:
        words = " ".join(line.split())
        if not words or words in there:
            continue
        point = OpenPoint(contest=contest, words=words, made_by=by)
        point.full_clean()
        point.save()
        there.add(words)
        added += 1
    return added


@transaction.atomic
def make_task(*, point: OpenPoint, contest: Contest, due_on: date, by: User) -> OpenPoint:
    """Turn a point into a to-do of a contest, by a day; one that is settled stays as it is."""
    point = _locked(point)
    if _is_open(point):
        title, note = _called(point)
        task = Task(contest=contest, title=title, note=note, due_on=due_on)
        point.task = save_task(task=task)
        point.save()
    return point


@transaction.atomic
def make_change(*, point: OpenPoint, starts_on: date, by: User) -> OpenPoint:
    """Turn a point into something done differently from a day on; a settled one stays."""
    point = _locked(point)
    if _is_open(point):
        what, note = _called(point)
        change = Change(team=point.contest.team, what=what, note=note, starts_on=starts_on)
        save_change(change=change, by=by)
        point.change = change
        point.save()
    return point


@transaction.atomic
def drop_point(*, point: OpenPoint) -> OpenPoint:
    """Let a point go; one that is settled stays as it is."""
    point = _locked(point)
    if _is_open(point):
        point.dropped_at = timezone.now()
        point.save()
    return point


@transaction.atomic
def reopen_point(*, point: OpenPoint, by: User) -> OpenPoint:
    """
    Undo what became of a point: its to-do or its change goes, and it is open again.

    Refuses (ValidationError) if the to-do is done already.
    """
    point = _locked(point)
    task, change = point.task, point.change
    if task and task.done_at:
        raise ValidationError("That to-do is done already, so it stays.")
    point.task, point.change, point.dropped_at = None, None, None
    point.save()
    if task:
        task.delete()
    if change:
        delete_change(change=change, by=by)
    return point


def _locked(point: OpenPoint) -> OpenPoint:
    """The point as it is now, with nobody else settling it."""
    rows = OpenPoint.objects.select_for_update(of=("self",)).select_related("contest__team")
    return rows.get(pk=point.pk)


def _is_open(point: OpenPoint) -> bool:
    return not (point.task_id or point.change_id or point.dropped_at)


def _called(point: OpenPoint) -> tuple[str, str]:
    """What it is called, and a note that says where it comes from, whole where it was long."""
    day = point.contest.held_on
    note = f"From the debrief of {point.contest}, {day.day} {day:%B %Y}."
    if len(point.words) <= LONGEST:
        return point.words, note
    return f"{point.words[: LONGEST - 1].rstrip()}…", f"{point.words} ({note})"
