"""Checklists as they are kept, and as they stand on a contest."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID

from django.utils import timezone

from teamops.contests.models import Anchor, ChecklistTemplate, Contest, Task, TemplateTask
from teamops.contests.queries.words import clock, time_of_day
from teamops.teams.models import Team

OTHERS = "Our own to-dos"


@dataclass(frozen=True, slots=True)
class TickRow:
    """One line to tick, in words; `press` is what a press asks for: done or undo."""

    key: str
    what: str
    when: str
    who: str
    caution: str
    note: str
    done: bool
    state: str

    @property
    def press(self) -> str:
        return "undo" if self.done else "done"

    @property
    def look(self) -> str:
        """The class of the row: done, late or open."""
        return "done" if self.done else "late" if self.state else "open"


@dataclass(frozen=True, slots=True)
class TickGroup:
    """The lines of one checklist; `mark` names its count on the page."""

    mark: str
    name: str
    count: str
    rows: tuple[TickRow, ...]
    removable: bool = False


@dataclass(frozen=True, slots=True)
class TickBoard:
    """What the checklist's page, and the same page behind a link, show."""

    contest: Contest
    count: str
    left: int
    groups: tuple[TickGroup, ...]


def tick_board(contest: Contest, today: date) -> TickBoard:
    """A contest's to-dos, checklist by checklist, in the order they are due; two queries.

    Steps counted in minutes come along where a checklist brought them; the rest of them stands on
    the prep sheet.
    """
    rows = contest.tasks.select_related("person", "done_by")
    tasks = [task for task in rows if task.due_on or task.checklist]
    turn_in = first_turn_in(contest)
    groups: dict[str, list[Task]] = {}
    for task in sorted(tasks, key=lambda task: _order(task, contest)):
        groups.setdefault(task.checklist, []).append(task)
    own = groups.pop("", None)
    ordered = [*groups.items()] + ([("", own)] if own else [])
    return TickBoard(
        contest=contest,
        count=count_words(tasks),
        left=sum(1 for task in tasks if task.done_at is None),
        groups=tuple(
            TickGroup(
                mark=f"count-{place}",
                name=name or OTHERS,
                count=count_words(of_it),
                rows=tuple(tick_row(task, contest, turn_in, today) for task in of_it),
                removable=bool(name) and any(task.done_at is None for task in of_it),
            )
            for place, (name, of_it) in enumerate(ordered)
        ),
    )


def _order(task: Task, contest: Contest) -> tuple[date, int, str]:
    """By day; a step of the day after the day's to-dos, the earliest first."""
    return task.due_on or contest.held_on, -(task.minutes_before or 100_000), task.title


def first_turn_in(contest: Contest) -> datetime | None:
    """When the first window of a contest opens: what steps for every box count back from."""
    opens = (entry.window_opens_at or entry.window_closes_at for entry in contest.entries.all())
    return min((moment for moment in opens if moment), default=None)


def count_words(tasks: Iterable[Task]) -> str:
    """7 of 12."""
    done = [task.done_at is not None for task in tasks]
    return f"{sum(done)} of {len(done)}"


def tick_row(task: Task, contest: Contest, turn_in: datetime | None, today: date) -> TickRow:
    """A to-do or a step in words, on the contest's clock."""
    done = task.done_at is not None
    late = not done and task.due_on is not None and task.due_on < today
    return TickRow(
        key=str(task.pk),
        what=task.title,
        when=_when(task, contest, turn_in),
        who=str(task.person or ""),
        caution=task.caution,
        note=task.note,
        done=done,
        state=done_words(task, contest) if done else "overdue" if late else "",
    )


def _when(task: Task, contest: Contest, turn_in: datetime | None) -> str:
    if task.due_on is None:
        minutes = task.minutes_before or 0
        at = f"{clock(turn_in - timedelta(minutes=minutes), contest)}, " if turn_in else ""
        return f"{at}{minutes} min before the turn-in"
    day = f"{task.due_on:%a} {task.due_on.day} {task.due_on:%b}"
    if task.due_at is None:
        return day
    return f"{day}, {time_of_day(datetime.combine(task.due_on, task.due_at))}"


def done_words(task: Task, contest: Contest) -> str:
    """Who ticked it and when: by a person of the team, or by whose link."""
    if task.done_at is None:
        return ""
    who = f"by {task.done_as}’s link" if task.done_as else f"by {task.done_by}"
    local = timezone.localtime(task.done_at, contest.zone)
    return f"done {who}, {local:%a} {local.day} {local:%b}, {time_of_day(local)}"


@dataclass(frozen=True, slots=True)
class ChecklistLine:
    """One line of a kept checklist, in words."""

    line_id: UUID
    what: str
    when: str
    caution: str


@dataclass(frozen=True, slots=True)
class Checklist:
    """A checklist as it is kept, to be put on contests."""

    checklist_id: UUID
    name: str
    lines: tuple[ChecklistLine, ...]


def kept_checklists(team: Team) -> list[Checklist]:
    """The team's checklists with their lines; two queries, however many."""
    rows = ChecklistTemplate.objects.for_team(team).prefetch_related("tasks")
    kept = [checklist_words(row) for row in rows]
    return sorted(kept, key=lambda row: row.name.casefold())


def checklist_words(checklist: ChecklistTemplate) -> Checklist:
    """One kept checklist, its lines in the order they come due."""
    lines = sorted(checklist.tasks.all(), key=_line_order)
    return Checklist(
        checklist.pk,
        checklist.name,
        tuple(ChecklistLine(row.pk, row.title, line_when(row), row.caution) for row in lines),
    )


def _line_order(line: TemplateTask) -> tuple[int, int, str]:
    """What is done beforehand first, then the anchors as they come."""
    anchors = [Anchor.TRIP, Anchor.ARRIVAL, Anchor.TURN_IN, Anchor.HOME]
    if line.minutes_before is not None:
        return anchors.index(Anchor.TURN_IN), 100_000 - line.minutes_before, line.title
    days = line.offset_days or 0
    return anchors.index(Anchor(line.anchor)) if days >= 0 else -1, days, line.title


def line_when(line: TemplateTask) -> str:
    """14 days before leaving, the day of arriving, 30 min before the turn-in."""
    if line.minutes_before is not None:
        return f"{line.minutes_before} min before the turn-in"
    anchor, days = Anchor(line.anchor).label, line.offset_days or 0
    if not days:
        return f"the day of {anchor}"
    many = "1 day" if abs(days) == 1 else f"{abs(days)} days"
    return f"{many} {'before' if days < 0 else 'after'} {anchor}"
