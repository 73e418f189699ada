"""A contest as it is talked over that night: results, words, points, and where points lead."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from uuid import UUID

from django.db.models import prefetch_related_objects
from django.urls import reverse

from teamops.calc.words import brief, ordinal
from teamops.contests.models import Contest, Entry
from teamops.contests.queries import today_of, with_entries
from teamops.contests.queries.windows import box_name
from teamops.judging.models import Change, Debrief, OpenPoint
from teamops.teams.models import Team

A_WEEK = timedelta(days=7)


@dataclass(frozen=True, slots=True)
class NextContest:
    """Where a point goes: to the next contest, or to this one where none is ahead."""

    contest: Contest
    is_this: bool
    due_on: date
    starts_on: date


@dataclass(frozen=True, slots=True)
class PointRow:
    """One point in words: what became of it, and the way there; empty words while it is open."""

    pk: UUID
    words: str
    became: str
    url: str
    may_reopen: bool

    @property
    def is_open(self) -> bool:
        return not self.became


@dataclass(frozen=True, slots=True)
class ResultRow:
    """One box's result in small."""

    name: str
    words: str
    url: str


@dataclass(frozen=True, slots=True)
class DebriefPage:
    """What the debrief's page shows; `debrief` is None before the first words."""

    contest: Contest
    debrief: Debrief | None
    results: tuple[ResultRow, ...]
    points: tuple[PointRow, ...]
    next: NextContest

    @property
    def open_points(self) -> int:
        return sum(row.is_open for row in self.points)


def debrief_page(contest: Contest) -> DebriefPage:
    """A contest's debrief; four queries. Its entries are left on it, for photos beside."""
    entries = _with_results(contest)
    points = contest.open_points.select_related("task", "change").order_by("words", "pk")
    return DebriefPage(
        contest=contest,
        debrief=Debrief.objects.filter(contest=contest).first(),
        results=tuple(_result(entry, contest) for entry in entries),
        points=tuple(_point(point, contest) for point in points),
        next=next_contest(contest),
    )


def next_contest(contest: Contest) -> NextContest:
    """The next contest of the team after today, else this one; one query.

    A to-do falls due a week before it, but not before tomorrow; a change starts on its day.
    """
    today = today_of(contest.team)
    tomorrow = today + timedelta(days=1)
    rows = Contest.objects.for_team(contest.team).coming(tomorrow).exclude(pk=contest.pk)
    coming = rows.first()
    if coming is None:
        start = max(tomorrow, contest.held_on + timedelta(days=1))
        return NextContest(contest, True, today + A_WEEK, start)
    due_on = max(coming.held_on - A_WEEK, tomorrow)
    return NextContest(coming, False, due_on, coming.held_on)


def contests_of_changes(team: Team, changes: Iterable[Change]) -> dict[UUID, Contest]:
    """From which contest's debrief each change came, where it came from one; one query."""
    points = OpenPoint.objects.for_team(team).filter(change__in=list(changes))
    return {
        point.change_id: point.contest
        for point in points.select_related("contest").order_by("pk")
        if point.change_id
    }


def _with_results(contest: Contest) -> list[Entry]:
    prefetch_related_objects([contest], with_entries("result"))
    return list(contest.entries.all())


def _result(entry: Entry, contest: Contest) -> ResultRow:
    result = getattr(entry, "result", None)
    total = entry.official_total if entry.official_total is not None else result and result.total
    parts = []
    if entry.disqualified:
        parts.append("disqualified")
    if total is not None:
        parts.append(brief(total))
    if entry.placing:
        field = f" of {entry.field_size}" if entry.field_size else ""
        parts.append(f"{ordinal(entry.placing)}{field}")
    url = reverse("insight:show_entry", args=[contest.team.slug, entry.pk])
    return ResultRow(box_name(entry), ", ".join(parts) or "no result yet", url)


def _point(point: OpenPoint, contest: Contest) -> PointRow:
    slug, became, url = contest.team.slug, "", ""
    if point.task:
        day = point.task.due_on
        became = f"to-do by {day.day} {day:%B %Y}" if day else "to-do"
        became += ", done" if point.task.done_at else ""
        url = reverse("contests:change_task", args=[slug, point.task.pk])
    elif point.change:
        day = point.change.starts_on
        became = f"changed from {day.day} {day:%B %Y}"
        url = reverse("insight:show_change", args=[slug, point.change.pk])
    elif point.dropped_at:
        became = "dropped"
    may_reopen = bool(became) and not (point.task and point.task.done_at)
    return PointRow(point.pk, point.words, became, url, may_reopen)
