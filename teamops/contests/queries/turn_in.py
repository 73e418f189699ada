"""The turn-in: what the clocks say, and what became of the box."""

from dataclasses import dataclass
from datetime import datetime

from teamops.contests.models import Entry
from teamops.contests.queries.box import LidRow, lid_rows
from teamops.contests.queries.windows import (
    Leaving,
    Punctuality,
    box_name,
    leave_by,
    offset_sentence,
    ours,
    punctuality,
    span,
    to_the_second,
)


@dataclass(frozen=True, slots=True)
class Edge:
    """When the window opens, or closes: in words of both clocks, and as a moment of ours."""

    words: str
    at: datetime
    is_past: bool


@dataclass(frozen=True, slots=True)
class TurnIn:
    """The turn-in page of one box, in words ready to print."""

    entry: Entry
    name: str
    clock: str
    opens: Edge | None
    closes: Edge | None
    leaving: Leaving | None
    turned_in: str
    lies: Punctuality | None
    outcome: str
    lid: LidRow | None
    is_scored: bool

    @property
    def asks_outcome(self) -> bool:
        """Whether the box was late, or early, and nobody has said what was made of it."""
        return bool(self.lies and not self.lies.in_time and not self.entry.late)


def turn_in_page(entry: Entry, now: datetime) -> TurnIn:
    """One box and its clocks at a moment of ours; one query."""
    contest = entry.contest
    rows = lid_rows(entry)
    return TurnIn(
        entry=entry,
        name=box_name(entry),
        clock=offset_sentence(contest.clock_offset_seconds),
        opens=_edge(entry, entry.window_opens_at, "Opens", now),
        closes=_edge(entry, entry.window_closes_at, "Closes", now),
        leaving=leave_by(entry),
        turned_in=turned_in_words(entry),
        lies=punctuality(entry),
        outcome=late_words(entry),
        lid=rows[0] if rows else None,
        is_scored=is_scored(entry),
    )


def _edge(entry: Entry, moment: datetime | None, verb: str, now: datetime) -> Edge | None:
    if moment is None:
        return None
    contest = entry.contest
    at = ours(moment, contest)
    words = f"{verb} {to_the_second(moment, contest)} by the official clock"
    if contest.clock_offset_seconds:
        words += f", {to_the_second(at, contest)} by ours"
    return Edge(words, at, at <= now)


def is_scored(entry: Entry) -> bool:
    """Whether a total may hang on what became of the box: then it is decided with the scores."""
    given = (entry.marked_at, entry.official_total, entry.placing)
    return any(one is not None for one in given)


def turned_in_words(entry: Entry) -> str:
    """When and by whom the box was turned in, by the official clock; empty if it was not."""
    if entry.turned_in_at is None:
        return ""
    what = "The spare turned in" if entry.spare_turned_in else "Turned in"
    return (
        f"{what} {to_the_second(entry.turned_in_at, entry.contest)} by the official clock, "
        f"{entry.turned_in_by}"
    )


def late_words(entry: Entry) -> str:
    """What was made of a late box; empty where nothing was said."""
    if not entry.late:
        return ""
    if entry.late == Entry.Late.DOCKED and entry.late_points is not None:
        return f"docked by {entry.late_points.normalize():f} points"
    return entry.get_late_display()


def judged_words(entry: Entry) -> str:
    """How the box stands with the judges where that is not as usual."""
    if entry.disqualified:
        why = f": {entry.disqualified_why}" if entry.disqualified_why else ""
        return f"Disqualified{why}"
    if entry.overturned_why or entry.disqualified_why:
        was = f" ({entry.disqualified_why})" if entry.disqualified_why else ""
        why = f": {entry.overturned_why}" if entry.overturned_why else ""
        return f"Disqualified{was}, then taken back{why}"
    return entry.get_state_display().capitalize() if entry.state else ""


def lies_words(entry: Entry) -> str:
    """20 s late, docked: how a turn-in lies to its window, and what was made of it."""
    lies = punctuality(entry)
    if lies is None:
        return ""
    if lies.in_time:
        return "in time"
    said = f"{span(lies.late or lies.early)} {'late' if lies.late else 'early'}"
    return f"{said}, {late_words(entry)}" if entry.late else said
