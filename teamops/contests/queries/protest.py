"""Until when a box may be protested, and what was."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from teamops.contests.models import Contest, Entry, Protest
from teamops.contests.queries.windows import ours, span, to_the_second, wall


@dataclass(frozen=True, slots=True)
class ProtestRow:
    """One protest in words ready to print."""

    protest_id: UUID
    reason: str
    lodged: str
    outcome: str
    stamp: str
    note: str
    late: str  # where it came after the time was up


@dataclass(frozen=True, slots=True)
class ProtestState:
    """How an entry stands for protests at a moment.

    `words` is ready to print without a running clock; `until` is by the official clock, `ends_at`
    the same moment by ours, which is what a countdown runs to.
    """

    entry_id: UUID
    words: str
    until: datetime | None
    ends_at: datetime | None
    seconds_left: int | None
    how: str
    rows: tuple[ProtestRow, ...]

    @property
    def is_running(self) -> bool:
        return self.seconds_left is not None and self.seconds_left > 0

    @property
    def has_open(self) -> bool:
        return any(row.stamp == "due" for row in self.rows)


def protest_minutes(entry: Entry) -> tuple[int | None, str]:
    """Minutes to protest and who says so: the meeting before the rulebook."""
    said, book = entry.contest.protest_minutes, entry.rulebook.protest_minutes
    if said is not None:
        return said, "as said at the contest"
    return book, f"by {entry.rulebook}" if book is not None else ""


def protest_state(
    entry: Entry,
    now: datetime,
    posted_at: datetime | None = None,
    protests: Iterable[Protest] | None = None,
) -> ProtestState:
    """Until when the entry may be protested, and its protests in order; one query.

    Counted from when results were posted, by the official clock, where the caller knows it, else
    from the awards. Wants the entry's contest and rulebook at hand; no query where the caller has
    its `protests` with who lodged them.
    """
    contest, start = entry.contest, posted_at or entry.contest.awards_at
    minutes, whose = protest_minutes(entry)
    until = ends_at = left = None
    how = ""
    if start and minutes is not None:
        until = start + timedelta(minutes=minutes)
        ends_at = ours(until, contest)
        left = int((ends_at - now).total_seconds())
        named = "the posting" if posted_at else "the awards"
        how = f"{minutes} minutes from {named}, {wall(start, contest)}, {whose}"
    if protests is None:
        protests = entry.protests.select_related("lodged_by")
    rows = tuple(_row(row, contest, until) for row in protests)
    words = _words(entry, until, left, minutes)
    return ProtestState(entry.pk, words, until, ends_at, left, how, rows)


def _words(entry: Entry, until: datetime | None, left: int | None, minutes: int | None) -> str:
    if until is None or left is None:
        if minutes is None:
            return "How long one may protest is not known: ask at the meeting."
        return f"{minutes} minutes to protest, counted once the time of the awards is known."
    at = wall(until, entry.contest)
    if left > 0:
        return f"Protest until {at} by the official clock"
    return f"The time to protest was up at {at} by the official clock"


def _row(protest: Protest, contest: Contest, until: datetime | None) -> ProtestRow:
    outcome = Protest.Outcome
    stamp = {outcome.OPEN: "due", outcome.UPHELD: "ok", outcome.DENIED: "hot"}
    note = protest.outcome_note
    if protest.decided_at:
        note = f"{note} ({wall(protest.decided_at, contest)})".strip()
    late = ""
    if until and protest.lodged_at > until:
        late = f"{span((protest.lodged_at - until).total_seconds())} after the time was up"
    return ProtestRow(
        protest_id=protest.pk,
        reason=protest.reason,
        lodged=f"{protest.lodged_by}, {to_the_second(protest.lodged_at, contest)}",
        outcome=protest.get_outcome_display(),
        stamp=stamp.get(outcome(protest.outcome), ""),
        note=note,
        late=late,
    )
