"""Every dated thing of the team's contests."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

from django.db.models import Prefetch, Q
from django.urls import reverse

from teamops.contests.models import Contest, Entry, Task, TeamPaper, Trip
from teamops.contests.queries.tickets import with_entries
from teamops.contests.queries.words import time_of_day, today_of
from teamops.teams.due import Due
from teamops.teams.models import Team

NEAR = timedelta(days=7)
BEFORE = timedelta(minutes=15)  # before entries open, when the first click counts
A_DAY_BEFORE = timedelta(hours=15)  # nine in the morning of the day before
RENEWING = timedelta(days=14)
OUT = (Entry.State.DROPPED, Entry.State.WITHDRAWN)
Timed = tuple[date, int, Due]  # with the minutes of the day, which order it; -1 for no time


@dataclass(frozen=True, slots=True)
class Dated:
    """
    One dated thing: a day, or a moment with its end where that is known.

    `row` and `part` name it for good, wherever it moves to. `saves` counts how often its row was
    saved, where that is counted. `alarm` is how long before it one wants to be told; of a day, how
    long before its midnight.
    """

    row: UUID
    part: str
    on: date
    what: str
    contest: UUID | None = None
    where: str = ""
    place: str = ""
    at: datetime | None = None
    until: datetime | None = None
    zone: str = ""
    note: str = ""
    alarm: timedelta | None = None
    saves: int = 0
    state: str = ""  # "sure", "open" or "off"; empty where it says nothing


def due(team: Team, until: date, contests: Iterable[Contest] | None = None) -> list[Due]:
    """Every dated thing of the team's contests up to a day: to-dos, deadlines, the day itself.

    In the order of the clock. Overdue to-dos stay until they are ticked; a deadline that has passed
    is no longer a thing to do. Three queries; one where the `contests` to come are read already,
    with their entries.
    """
    today = today_of(team)
    contest_url = _addresses(team, "contests:show_contest")
    rows = list(_tasks_due(team, until, today, contest_url))
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
    """What is not ticked yet, with its hour and who does it; one query."""
    done_url = _addresses(team, "contests:set_task_done")
    tasks = Task.objects.for_team(team).dated().filter(done_at=None, due_on__lte=until)
    tasks = tasks.exclude(contest__state__in=Contest.OFF).select_related("contest", "person")
    for task in tasks:
        who = f", {task.person.get_short_name()}" if task.person else ""
        hour = task.due_at
        row = Due(
            on=task.due_on or today,
            what=f"{task.title}{who}",
            where=task.contest.name,
            at=time_of_day(hour) if hour else "",
            url=contest_url(task.contest_id),
            done_url=done_url(task.pk),
        )
        yield row.on, hour.hour * 60 + hour.minute if hour else -1, row


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
    for dated in moments(contest):
        if dated.at:
            local = dated.at.astimezone(contest.zone)
            what = dated.what
            if dated.until:
                what = f"{what}, closes {time_of_day(dated.until.astimezone(contest.zone))}"
            row = Due(dated.on, what, name, time_of_day(local), url)
            yield dated.on, local.hour * 60 + local.minute, row


def moments(contest: Contest) -> Iterator[Dated]:
    """The hours of the contest's day, as far as they are known: no query if entries are read."""
    yield from _moment(contest, contest.load_in_at, "load-in", "Load-in")
    yield from _moment(contest, contest.meeting_at, "meeting", "Cooks’ meeting")
    for entry in contest.entries.all():
        yield from _window(entry, contest)
    yield from _moment(contest, contest.awards_at, "awards", "Awards")
    if contest.awards_at and (minutes := _protest_minutes(contest)):
        ends = contest.awards_at + timedelta(minutes=minutes)
        yield from _moment(contest, ends, "protest", "Last moment to protest")


def _protest_minutes(contest: Contest) -> int | None:
    """As said at the meeting; else the longest of the rulebooks, where those were read."""
    if contest.protest_minutes is not None:
        return contest.protest_minutes
    books = [entry.rulebook for entry in contest.entries.all() if _knows_rulebook(entry)]
    return max((book.protest_minutes or 0 for book in books), default=None)


def _knows_rulebook(entry: Entry) -> bool:
    return "rulebook" in entry._state.fields_cache


def _moment(contest: Contest, at: datetime | None, part: str, what: str) -> Iterator[Dated]:
    if at:
        yield _dated(contest, part, at.astimezone(contest.zone).date(), what, at=at)


def _window(entry: Entry, contest: Contest) -> Iterator[Dated]:
    """A turn-in window; of one whose opening is not known, its close."""
    opens, closes = entry.window_opens_at, entry.window_closes_at
    if (at := opens or closes) is None or entry.state in OUT:
        return
    cook = f", {entry.cook_of_record.get_short_name()}" if entry.cook_of_record else ""
    day = at.astimezone(contest.zone).date()
    note = "" if opens else "The window closes then; when it opens is not known yet."
    yield _dated(
        contest,
        "turn-in",
        day,
        f"Turn in: {entry.category}{cook}",
        at=at,
        until=closes if opens else None,
        note=note,
        row=entry.pk,
        saves=entry.version,
    )


def _dated(contest: Contest, part: str, on: date, what: str, **more: object) -> Dated:
    known = {
        "row": contest.pk,
        "contest": contest.pk,
        "where": contest.name,
        "place": contest.place,
        "zone": contest.time_zone,
    }
    saves = contest.version + int(str(more.pop("saves", 0)))
    return Dated(part=part, on=on, what=what, saves=saves, **(known | more))  # type: ignore[arg-type]


def calendar_dates(team: Team, since: date) -> list[Dated]:
    """Everything dated of the team's contests, trips and papers from a day on; four queries.

    A contest that is called off keeps its day only, said to be off. To-dos that were ticked stay,
    and say so.
    """
    entries = Entry.objects.select_related("category", "cook_of_record", "rulebook")
    contests = (
        Contest.objects.for_team(team)
        .filter(held_on__gte=since)
        .select_related("trip")
        .prefetch_related(Prefetch("entries", queryset=entries))
    )
    rows: list[Dated] = []
    trips: dict[UUID, Trip] = {}
    for contest in contests:
        rows.append(_day(contest))
        if not contest.is_off:
            trips[contest.trip_id] = contest.trip
            rows += [*entering(contest), *moments(contest)]
    rows += [row for trip in trips.values() for row in _trip_days(trip)]
    rows += _tasks(team, since)
    return rows + _papers(team, since)


def _day(contest: Contest) -> Dated:
    """The contest's day; a name alone says what it is."""
    state, sure = contest.get_state_display(), Contest.State
    if contest.is_off:
        return _dated(contest, "day", contest.held_on, f"{contest.name}: {state}", state="off")
    unsure = contest.state in (sure.CONSIDERING, sure.WAIT_LIST)
    what = f"{contest.name} ({state})" if unsure else contest.name
    return _dated(contest, "day", contest.held_on, what, state="open" if unsure else "sure")


def entering(contest: Contest) -> Iterator[Dated]:
    """What entering it hangs on: when entries open, and until when which fee holds."""
    if contest.entries_open_at:
        for row in _moment(contest, contest.entries_open_at, "opens", "Entries open"):
            yield replace(row, alarm=BEFORE)
    for day, part, what in (
        (contest.early_until_on, "early", "Early fee ends"),
        (contest.late_from_on, "late", "Late fee from today"),
        (contest.deadline_on, "deadline", "Entry deadline"),
    ):
        if day:
            yield _dated(contest, part, day, what, alarm=A_DAY_BEFORE)


def _trip_days(trip: Trip) -> Iterator[Dated]:
    for day, part, what in ((trip.leaves_on, "leave", "Leave"), (trip.home_on, "home", "Home")):
        if day:
            yield Dated(row=trip.pk, part=part, on=day, what=what, where=trip.name)


def _tasks(team: Team, since: date) -> Iterator[Dated]:
    tasks = Task.objects.for_team(team).dated().filter(due_on__gte=since)
    for task in tasks.exclude(contest__state__in=Contest.OFF).select_related("contest", "person"):
        on, contest = task.due_on or since, task.contest
        who = f", {task.person.get_short_name()}" if task.person else ""
        done = "Done: " if task.done_at else ""
        at = None
        if task.due_at:  # a time that the clock change skips lands just after the gap
            wall = datetime.combine(on, task.due_at, contest.zone)
            at = wall.astimezone(UTC)
        yield Dated(
            row=task.pk,
            part="task",
            on=on,
            what=f"{done}{task.title}{who}",
            contest=contest.pk,
            where=contest.name,
            at=at,
            zone=contest.time_zone,
            note=" ".join(filter(None, (task.note, task.caution))),
        )


def _papers(team: Team, since: date) -> list[Dated]:
    papers = TeamPaper.objects.for_team(team).filter(expires_on__gte=since).select_related("holder")
    return [
        Dated(
            row=paper.pk, part="paper", on=paper.expires_on or since,
            what=f"{str(paper).capitalize()} runs out", where=str(paper.holder or ""),
            alarm=RENEWING,
        )
        for paper in papers
    ]  # fmt: skip


def _addresses(team: Team, name: str) -> Callable[[UUID], str]:
    """The page's address for any row, at the price of one look-up."""
    some = UUID(int=0)
    pattern = reverse(name, args=[team.slug, some])
    return lambda pk: pattern.replace(str(some), str(pk))
