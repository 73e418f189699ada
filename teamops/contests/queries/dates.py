"""What is due of the team's contests: to-dos, deadlines, entering, papers, the day itself."""

from collections.abc import Callable, Iterable, Iterator
from datetime import date, timedelta
from uuid import UUID

from django.db.models import Q

from teamops.contests.models import Contest, Task
from teamops.contests.queries.calendar import moments
from teamops.contests.queries.entering import entering_rows
from teamops.contests.queries.papers import papers_due
from teamops.contests.queries.tickets import with_entries
from teamops.contests.queries.words import addresses, time_of_day, today_of
from teamops.teams.due import Due
from teamops.teams.models import Team

NEAR = timedelta(days=7)
TASK = ("title", "checklist", "due_on", "due_at", "contest__name", "person__name", "person__email")
FOLDED = 3  # so many lines of one checklist and day are one row
Timed = tuple[date, int, Due]  # with the minutes of the day, which order it; -1 for no time


def due(team: Team, until: date, contests: Iterable[Contest] | None = None) -> list[Due]:
    """Every dated thing of the team's contests up to a day: to-dos, deadlines, the day itself.

    In the order of the clock, with what entering asks for and papers that run out. Overdue to-dos
    stay until they are ticked; a deadline that has passed is no longer a thing to do. Seven queries
    at most; two less where the `contests` to come are read already, with their entries.
    """
    today = today_of(team)
    contest_url = addresses(team, "contests:show_contest")
    rows = [*_tasks_due(team, until, today, contest_url), *entering_rows(team, until)]
    rows += [_on_day(row.on, row) for row in papers_due(team, until)]
    for contest in _coming(team, today, until) if contests is None else contests:
        dates = _contest_dates(contest, contest_url(contest.pk))
        rows.extend(row for row in dates if today <= row[0] <= until)
    return [
        row for _, _, row in sorted(rows, key=lambda row: (*row[:2], row[2].where, row[2].what))
    ]


def _coming(team: Team, today: date, until: date) -> Iterable[Contest]:
    """Contests to come; a moment lies near the contest's day, a deadline may lie long before it."""
    near = Q(held_on__lte=until + NEAR) | Q(deadline_on__lte=until)
    return (
        Contest.objects.for_team(team).coming(today).filter(near).prefetch_related(with_entries())
    )


def _tasks_due(
    team: Team, until: date, today: date, contest_url: Callable[[UUID], str]
) -> Iterator[Timed]:
    """What is not ticked yet, with its hour and who does it; one query.

    Lines of one checklist for one day stand as one row that leads there: they are ticked on it.
    """
    done_url = addresses(team, "contests:set_task_done")
    list_url = addresses(team, "contests:show_checklist")
    tasks = Task.objects.for_team(team).dated().filter(done_at=None, due_on__lte=until)
    tasks = tasks.exclude(contest__state__in=Contest.OFF).select_related("contest", "person")
    tasks = tasks.only(*TASK)  # a contest has many columns, and each is converted
    lists: dict[tuple[UUID, str, date], list[Task]] = {}
    for task in tasks:
        on, hour = task.due_on or today, task.due_at
        if task.checklist and hour is None:
            lists.setdefault((task.contest_id, task.checklist, on), []).append(task)
            continue
        url = (list_url if task.checklist else contest_url)(task.contest_id)
        at = hour.hour * 60 + hour.minute if hour else -1
        yield on, at, _task_row(task, on, url, done_url(task.pk))
    for (contest_id, name, on), rows in lists.items():
        url = list_url(contest_id)
        if len(rows) < FOLDED:
            yield from (_on_day(on, _task_row(row, on, url, done_url(row.pk))) for row in rows)
        else:
            what = f"{name}: {len(rows)} things to tick off"
            yield _on_day(on, Due(on, what, rows[0].contest.name, url=url))


def _task_row(task: Task, on: date, url: str, done_url: str) -> Due:
    who = f", {task.person.get_short_name()}" if task.person else ""
    at = time_of_day(task.due_at) if task.due_at else ""
    return Due(on, f"{task.title}{who}", task.contest.name, at, url, done_url)


def _on_day(day: date, row: Due) -> Timed:
    return day, -1, row


def _contest_dates(contest: Contest, url: str) -> Iterator[Timed]:
    """The contest's own dates, on its own clock."""
    name, state = contest.name, Contest.State
    deadline = contest.deadline_on
    if deadline and contest.state == state.CONSIDERING:
        yield _on_day(deadline, Due(deadline, "Enter: the deadline", name, url=url))
    owed = contest.fee and not contest.fee_paid_on
    if deadline and owed and contest.state == state.ENTERED:
        yield _on_day(deadline, Due(deadline, "Pay the entry fee", name, url=url))
    in_already = {entry.pk for entry in contest.entries.all() if entry.turned_in_at}
    for dated in moments(contest):
        if dated.at and dated.row not in in_already:
            local = dated.at.astimezone(contest.zone)
            what = dated.what
            if dated.until:
                what = f"{what}, closes {time_of_day(dated.until.astimezone(contest.zone))}"
            row = Due(dated.on, what, name, time_of_day(local), url)
            yield dated.on, local.hour * 60 + local.minute, row
