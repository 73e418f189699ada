"""Every dated thing of the team's contests."""

from collections.abc import Callable, Iterator
from datetime import date, datetime, timedelta
from uuid import UUID

from django.db.models import Q
from django.urls import reverse

from teamops.contests.models import Contest, Task
from teamops.contests.queries.tickets import with_entries
from teamops.contests.queries.words import time_of_day, today_of
from teamops.teams.due import Due
from teamops.teams.models import Team

NEAR = timedelta(days=7)
Timed = tuple[date, int, Due]  # with the minutes of the day, which order it; -1 for no time


def due(team: Team, until: date) -> list[Due]:
    """Every dated thing of the team's contests up to a day: to-dos, deadlines, the day itself.

    In the order of the clock. Overdue to-dos stay until they are ticked; a deadline that has passed
    is no longer a thing to do. Three queries.
    """
    today = today_of(team)
    tasks = Task.objects.for_team(team).dated().filter(done_at=None, due_on__lte=until)
    # A moment lies near the contest's day; a deadline may lie long before it.
    near = Q(held_on__lte=until + NEAR) | Q(deadline_on__lte=until)
    contests = Contest.objects.for_team(team).coming(today).filter(near)
    contest_url = _addresses(team, "contests:show_contest")
    done_url = _addresses(team, "contests:set_task_done")
    rows = [
        _on_day(
            task.due_on or today,
            Due(
                on=task.due_on or today,
                what=task.title,
                where=task.contest.name,
                url=contest_url(task.contest_id),
                done_url=done_url(task.pk),
            ),
        )
        for task in tasks.exclude(contest__state__in=Contest.OFF).select_related("contest")
    ]
    for contest in contests.prefetch_related(with_entries()):
        dates = _contest_dates(contest, contest_url(contest.pk))
        rows.extend(row for row in dates if today <= row[0] <= until)
    return [
        row for _, _, row in sorted(rows, key=lambda row: (*row[:2], row[2].where, row[2].what))
    ]


def _on_day(day: date, row: Due) -> Timed:
    return day, -1, row


def _contest_dates(contest: Contest, url: str) -> Iterator[Timed]:
    """The contest's own dates, on its own clock."""
    name, state = contest.name, Contest.State
    deadline = contest.deadline_on
    if deadline and contest.state == state.CONSIDERING:
        yield _on_day(deadline, Due(deadline, "Enter: the deadline", name, url=url))
    if deadline and contest.fee and contest.state == state.ENTERED:
        yield _on_day(deadline, Due(deadline, "Pay the entry fee", name, url=url))
    for moment, what in _moments(contest):
        if moment:
            local = moment.astimezone(contest.zone)
            row = Due(local.date(), what, name, time_of_day(local), url)
            yield local.date(), local.hour * 60 + local.minute, row


def _moments(contest: Contest) -> Iterator[tuple[datetime | None, str]]:
    yield contest.load_in_at, "Load-in"
    yield contest.meeting_at, "Cooks’ meeting"
    for entry in contest.entries.all():
        cook = f", {entry.cook_of_record.get_short_name()}" if entry.cook_of_record else ""
        yield entry.window_opens_at or entry.window_closes_at, f"Turn in: {entry.category}{cook}"
    yield contest.awards_at, "Awards"


def _addresses(team: Team, name: str) -> Callable[[UUID], str]:
    """The page's address for any row, at the price of one look-up."""
    some = UUID(int=0)
    pattern = reverse(name, args=[team.slug, some])
    return lambda pk: pattern.replace(str(some), str(pk))
