"""Every date of the team's contests, trips, to-dos and papers, as a calendar takes it."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

from teamops.contests.models import Contest, Entry, Task, TeamPaper, Trip
from teamops.contests.queries.papers import paper_name
from teamops.contests.queries.tickets import book_minutes, with_entries
from teamops.contests.queries.words import whose
from teamops.teams.models import Team

BEFORE = timedelta(minutes=15)  # before entries open, when the first press counts
A_DAY_BEFORE = timedelta(hours=15)  # nine in the morning of the day before
RENEWING = timedelta(days=14)
OUT = (Entry.State.DROPPED, Entry.State.WITHDRAWN)


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
    """As said at the meeting; else the longest that a rulebook of its boxes gives."""
    if contest.protest_minutes is not None:
        return contest.protest_minutes
    return max((book_minutes(entry) for entry in contest.entries.all()), default=None)


def _moment(contest: Contest, at: datetime | None, part: str, what: str) -> Iterator[Dated]:
    if at:
        yield _dated(contest, part, at.astimezone(contest.zone).date(), what, at=at)


def _window(entry: Entry, contest: Contest) -> Iterator[Dated]:
    """A turn-in window; of one whose opening is not known, its close."""
    opens, closes = entry.window_opens_at, entry.window_closes_at
    if (at := opens or closes) is None or entry.state in OUT:
        return
    cook = f", {who}" if (who := whose(entry)) else ""
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
        saves=contest.version + entry.version,
    )


def _dated(
    contest: Contest,
    part: str,
    on: date,
    what: str,
    *,
    row: UUID | None = None,
    saves: int | None = None,
    at: datetime | None = None,
    until: datetime | None = None,
    note: str = "",
    alarm: timedelta | None = None,
    state: str = "",
) -> Dated:
    """A dated thing of a contest; the contest's own, unless it is a `row` of it."""
    return Dated(
        row=row or contest.pk,
        part=part,
        on=on,
        what=what,
        contest=contest.pk,
        where=contest.name,
        place=contest.place,
        at=at,
        until=until,
        zone=contest.time_zone,
        note=note,
        alarm=alarm,
        saves=contest.version if saves is None else saves,
        state=state,
    )


def calendar_dates(team: Team, since: date) -> list[Dated]:
    """Everything dated of the team's contests, trips and papers from a day on; four queries.

    A contest that is called off keeps its day only, said to be off. To-dos that were ticked stay,
    and say so.
    """
    contests = (
        Contest.objects.for_team(team)
        .filter(held_on__gte=since)
        .select_related("trip")
        .prefetch_related(with_entries())
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
            what=f"Runs out: {paper_name(paper)}",
            alarm=RENEWING,
        )
        for paper in papers
    ]  # fmt: skip
