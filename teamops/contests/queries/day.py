"""The contest's day on its own page: for each box the next thing, and what is done, by whom."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.urls import reverse

from teamops.contests.models import Contest, Entry, LidCheck, Protest
from teamops.contests.queries.box import LidRow, lid_row
from teamops.contests.queries.meeting import MeetingLine, boxes, meeting_lines, words_of
from teamops.contests.queries.protest import ProtestState, protest_state
from teamops.contests.queries.turn_in import judged_words, lies_words, turned_in_words
from teamops.contests.queries.windows import box_name, leave_by, ours, wall, window_words

SOON = timedelta(minutes=30)  # before the window opens the box comes next, whatever was confirmed


@dataclass(frozen=True, slots=True)
class NextThing:
    """The one button of a box, and a moment of ours that it runs to, where it runs."""

    press: str
    url: str
    ends_at: datetime | None = None
    over: str = ""


@dataclass(frozen=True, slots=True)
class DayBox:
    """One box on its day, in words ready to print; `next` is None once nothing is left to do."""

    entry: Entry
    name: str
    window: str
    leave: str
    next: NextThing | None
    done: tuple[str, ...]
    warnings: tuple[str, ...]
    protest: ProtestState | None


@dataclass(frozen=True, slots=True)
class DayBoard:
    """The day's panel of a contest: how the meeting stands, then box by box."""

    contest: Contest
    days_away: int
    meeting: str
    meeting_is_open: bool
    rows: tuple[DayBox, ...]

    @property
    def is_today(self) -> bool:
        return self.days_away == 0

    @property
    def is_near(self) -> bool:
        return abs(self.days_away) <= 1 and not self.contest.is_off


def day_board(contest: Contest, now: datetime) -> DayBoard:
    """The panel at a moment of ours; four queries, however many boxes. No meeting at practice."""
    entries = boxes(contest)
    lines: list[MeetingLine] = []
    if contest.kind == Contest.Kind.JUDGED:
        lines = meeting_lines(contest, entries, words_of(contest))
    looks = LidCheck.objects.filter(entry__contest=contest).select_related("checked_by")
    newest = {check.entry_id: check for check in looks}  # oldest first: the newest stays
    protests: dict[UUID, list[Protest]] = defaultdict(list)
    for row in Protest.objects.filter(entry__contest=contest).select_related("lodged_by"):
        protests[row.entry_id].append(row)
    rows = []
    for entry in entries:
        own = [line for line in lines if line.entry in (None, entry)]
        look = newest.get(entry.pk)
        lid = lid_row(look, entry) if look else None
        protest = protest_state(entry, now, protests=protests[entry.pk])
        rows.append(_box(entry, own, lid, protest, now))
    settled = sum(line.confirmed for line in lines)
    return DayBoard(
        contest=contest,
        days_away=(contest.held_on - now.astimezone(contest.zone).date()).days,
        meeting=f"{settled} of {len(lines)} lines of the meeting settled" if lines else "",
        meeting_is_open=settled < len(lines),
        rows=tuple(rows),
    )


def _box(
    entry: Entry,
    lines: list[MeetingLine],
    lid: LidRow | None,
    protest: ProtestState,
    now: datetime,
) -> DayBox:
    turned_in = entry.turned_in_at is not None
    leaving = None if turned_in else leave_by(entry)
    done = [f"Window {line.said}" for line in lines if line.entry and line.said]
    if lid:
        done.append(f"Box check: {lid.words}, {lid.who}")
    if turned_in:
        lies = lies_words(entry)
        done.append(turned_in_words(entry) + (f": {lies}" if lies else ""))
    wrong = [f"Not right: {words}" for words in lid.wrong] if lid and not turned_in else []
    judged = judged_words(entry)
    awards = entry.contest.awards_at
    awarded = awards is not None and ours(awards, entry.contest) <= now
    return DayBox(
        entry=entry,
        name=box_name(entry),
        window=window_words(entry),
        leave=f"leave by {leaving.words} by our clock" if leaving else "",
        next=_next(entry, lines, lid, protest, now),
        done=tuple(done),
        warnings=(*wrong, judged) if judged else tuple(wrong),
        protest=protest if turned_in or awarded or protest.rows else None,
    )


def _next(
    entry: Entry,
    lines: list[MeetingLine],
    lid: LidRow | None,
    protest: ProtestState,
    now: datetime,
) -> NextThing | None:
    """What this box wants next: the meeting, the lid, the table, the judges' word, a protest."""
    if entry.turned_in_at is not None:
        return _next_after(entry, protest)
    opens = entry.window_opens_at or entry.window_closes_at
    is_soon = opens is not None and ours(opens, entry.contest) - now <= SOON
    unsettled = sum(not line.confirmed for line in lines)
    if unsettled and not lid and not is_soon:
        url = _url("show_meeting", entry, entry.contest_id)
        return NextThing(f"Check the meeting: {unsettled} open", url)
    if lid is None or (lid.is_wrong and not is_soon):
        press = "Look at the box again" if lid else "Check the box"
        return NextThing(press, _url("check_box", entry, entry.pk))
    closes = entry.window_closes_at
    ends = ours(closes, entry.contest) if closes else None
    return NextThing("Turn in", _url("turn_in", entry, entry.pk), ends, "closed")


def _next_after(entry: Entry, protest: ProtestState) -> NextThing | None:
    undecided = next((row for row in protest.rows if row.stamp == "due"), None)
    if undecided:
        url = _url("change_protest", entry, undecided.protest_id)
        return NextThing("What came of the protest?", url)
    if lies_words(entry) not in ("", "in time") and not entry.late:
        return NextThing("What was made of it?", _url("turn_in", entry, entry.pk))
    if protest.is_running and protest.until:
        at = wall(protest.until, entry.contest)
        url = _url("add_protest", entry, entry.pk)
        return NextThing(f"Protest until {at}", url, protest.ends_at, "time is up")
    return None


def _url(name: str, entry: Entry, pk: UUID) -> str:
    return reverse(f"contests:{name}", args=[entry.contest.team.slug, pk])
