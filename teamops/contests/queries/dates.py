"""Every dated thing of the team's contests."""

from datetime import date

from django.urls import reverse

from teamops.contests.models import Contest, Task
from teamops.contests.queries.tickets import with_entries
from teamops.contests.queries.words import time_of_day, today_of
from teamops.teams.due import Due
from teamops.teams.models import Team


def due(team: Team, until: date) -> list[Due]:
    """Every dated thing of the team's contests up to a day: to-dos, deadlines, the day itself.

    Overdue to-dos stay until they are ticked; a deadline that has passed is no longer a thing to
    do. Two queries.
    """
    today = today_of(team)
    tasks = Task.objects.for_team(team).dated().filter(done_at=None, due_on__lte=until)
    contests = Contest.objects.for_team(team).coming(today)
    rows = [
        Due(
            on=task.due_on or today,
            what=task.title,
            where=task.contest.name,
            url=_contest_url(team, task.contest),
            done_url=reverse("contests:set_task_done", args=[team.slug, task.pk]),
        )
        for task in tasks.exclude(contest__state__in=Contest.OFF).select_related("contest")
    ]
    for contest in contests.prefetch_related(with_entries()):
        rows.extend(row for row in _contest_dates(team, contest) if today <= row.on <= until)
    return sorted(rows, key=lambda row: (row.on, row.where, row.at, row.what))


def _contest_dates(team: Team, contest: Contest) -> list[Due]:
    url = _contest_url(team, contest)
    rows = []
    if contest.deadline_on and contest.state == Contest.State.CONSIDERING:
        rows.append(Due(contest.deadline_on, "Enter: the deadline", contest.name, url=url))
    if contest.deadline_on and contest.fee and contest.state == Contest.State.ENTERED:
        rows.append(Due(contest.deadline_on, "Pay the entry fee", contest.name, url=url))
    moments = [(contest.load_in_at, "Load-in"), (contest.meeting_at, "Cooks’ meeting")]
    moments += [
        (entry.window_opens_at or entry.window_closes_at, f"Turn in: {entry.category}")
        for entry in contest.entries.all()
    ]
    moments.append((contest.awards_at, "Awards"))
    for moment, what in moments:
        if moment:
            local = moment.astimezone(contest.zone)
            rows.append(Due(local.date(), what, contest.name, time_of_day(local), url))
    return rows


def _contest_url(team: Team, contest: Contest) -> str:
    return reverse("contests:show_contest", args=[team.slug, contest.pk])
