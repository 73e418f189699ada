"""What is done to checklists and to what they put on a contest."""

import json
from typing import Any

from django.conf import settings
from django.db import transaction
from django.utils import timezone

from teamops.contests.models import ChecklistTemplate, Contest, Task, TemplateTask
from teamops.contests.queries.anchors import anchor_days, days_from
from teamops.teams.models import Team, User


@transaction.atomic
def save_checklist(*, checklist: ChecklistTemplate) -> ChecklistTemplate:
    """Keep a checklist's name. Refuses (ValidationError) a name that the team has already."""
    checklist.full_clean()
    checklist.save()
    return checklist


@transaction.atomic
def save_checklist_line(*, line: TemplateTask) -> TemplateTask:
    """Keep a line: days from an anchor, or minutes before the turn-in."""
    line.full_clean()
    line.save()
    return line


@transaction.atomic
def add_starter_checklists(*, team: Team) -> int:
    """Give a team the usual checklists, those whose name it has not yet; how many were added."""
    record = json.loads((settings.FIXTURES / "checklists.json").read_text())
    there = set(ChecklistTemplate.objects.for_team(team).values_list("name", flat=True))
    new = [row for row in record["checklists"] if row["name"] not in there]
    for row in new:
        checklist = save_checklist(checklist=ChecklistTemplate(team=team, name=row["name"]))
        for line in row["lines"]:
            save_checklist_line(line=_starter_line(checklist, line))
    return len(new)


def _starter_line(checklist: ChecklistTemplate, row: dict[str, Any]) -> TemplateTask:
    return TemplateTask(
        template=checklist,
        title=row["what"],
        anchor=row["from"],
        offset_days=row.get("days"),
        minutes_before=row.get("minutes"),
        caution=row.get("caution", ""),
    )


@transaction.atomic
def put_checklist(
    *, contest: Contest, checklist: ChecklistTemplate, person: User | None = None
) -> int:
    """Put a checklist's lines on a contest, for one person perhaps; how many were added.

    A line that is there already is left as it is, so that pressing twice adds nothing. Lines
    counted in minutes become steps of the day, for every box.
    """
    Contest.objects.select_for_update().get(pk=contest.pk)  # two presses come one after the other
    days = anchor_days(contest)
    own = contest.tasks.filter(checklist=checklist.name)
    there = set(own.values_list("title", "anchor", "offset_days", "minutes_before"))
    added = 0
    for line in checklist.tasks.all():
        task = _task(line, contest)
        if (task.title, task.anchor, task.offset_days, task.minutes_before) in there:
            continue
        if task.offset_days is not None:
            task.due_on = days_from(days[task.anchor], task.offset_days)
        task.person = person
        task.full_clean()
        task.save()
        added += 1
    return added


def _task(line: TemplateTask, contest: Contest) -> Task:
    dated = line.offset_days is not None
    return Task(
        contest=contest,
        checklist=line.template.name,
        title=line.title,
        anchor=line.anchor if dated else "",
        offset_days=line.offset_days,
        minutes_before=line.minutes_before,
        caution=line.caution,
    )


def tick(*, task: Task, done: bool, by: User, done_as: str = "") -> None:
    """Tick a line, or untick it; saying it again keeps the first who and when.

    `done_as` names who used a link: `by` is then who gave it.
    """
    who, when, name = (by, timezone.now(), done_as) if done else (None, None, "")
    rows = Task.objects.filter(pk=task.pk, done_at__isnull=done)
    rows.update(done_by=who, done_at=when, done_as=name)


@transaction.atomic
def take_off(*, contest: Contest, name: str) -> int:
    """Take what is still undone of a checklist off a contest; how many lines went."""
    rows = contest.tasks.filter(checklist=name, done_at=None)
    many = rows.count()
    rows.delete()
    return many
