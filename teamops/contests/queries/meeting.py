"""What was said at the cooks' meeting: line by line, confirmed or changed, and by whom."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from teamops.contests.models import Contest, Entry, MeetingWord
from teamops.contests.queries.windows import (
    Leaving,
    box_name,
    leave_by,
    offset_words,
    span,
    wall,
    window_words,
)
from teamops.contests.queries.words import time_of_day
from teamops.rules.models import Rulebook

WINDOW = "window"
OFFSET = "clock_offset_seconds"


@dataclass(frozen=True, slots=True)
class MeetingLine:
    """
    One line of the meeting, in words ready to print.

    `stands` is its value in words, empty where nothing is known; what a press confirms is that,
    so a press on an old page is noticed. `said` is the newest word on it, `confirmed` whether that
    word is still what stands.
    """

    key: str
    line: str
    entry: Entry | None
    label: str
    stands: str
    beside: tuple[str, ...]
    confirmed: bool
    said: str

    @property
    def press(self) -> str:
        """What the button that confirms it says."""
        return "As it stands" if self.stands else "Nothing was said"


@dataclass(frozen=True, slots=True)
class LogRow:
    """One word of the meeting as the log shows it."""

    at: str
    who: str
    label: str
    words: str
    changed: bool


@dataclass(frozen=True, slots=True)
class LeavingRow:
    name: str
    leaving: Leaving


@dataclass(frozen=True, slots=True)
class Meeting:
    """The meeting page: what is still open first, then what is settled, then the log."""

    contest: Contest
    open: tuple[MeetingLine, ...]
    settled: tuple[MeetingLine, ...]
    leaving: tuple[LeavingRow, ...]
    log: tuple[LogRow, ...]

    @property
    def count(self) -> str:
        every = len(self.open) + len(self.settled)
        if not self.open:
            return f"All {every} lines are settled"
        return f"{len(self.settled)} of {every} settled"

    def line(self, key: str) -> MeetingLine | None:
        return next((row for row in (*self.open, *self.settled) if row.key == key), None)


def _minutes(contest: Contest) -> str:
    minutes = contest.protest_minutes
    return "" if minutes is None else f"{minutes} minutes"


# What the meeting goes through, in its order: the field of the contest, its label, its words.
LINES: dict[str, tuple[str, Callable[[Contest], str]]] = {
    OFFSET: ("The official clock", lambda contest: offset_words(contest.clock_offset_seconds)),
    "box_word": ("Box rules, as said", lambda contest: contest.box_word),
    "ticket_way": ("How the ticket works", lambda contest: contest.ticket_way),
    "turn_in_table": ("Where the turn-in table is", lambda contest: contest.turn_in_table),
    "walk_seconds": (
        "The walk there",
        lambda contest: "" if contest.walk_seconds is None else span(contest.walk_seconds),
    ),
    "protest_minutes": ("Minutes to protest", _minutes),
    "awards_at": (
        "Awards",
        lambda contest: wall(contest.awards_at, contest) if contest.awards_at else "",
    ),
}


def label_of(line: str, entry: Entry | None) -> str:
    if line == WINDOW:
        return f"Window: {box_name(entry)}" if entry else "Window"
    return LINES[line][0] if line in LINES else line


def stands(contest: Contest, line: str, entry: Entry | None = None) -> str:
    """What holds on a line, in the words that a press confirms; empty where nothing is known."""
    return window_words(entry) if entry else LINES[line][1](contest)


def boxes(contest: Contest) -> list[Entry]:
    """The contest's boxes that are still to be turned in or were, with what words need."""
    rows = contest.entries.select_related("category", "rulebook", "cook_of_record")
    entries = [entry for entry in rows if entry.state not in Entry.OUT]
    for entry in entries:
        entry.contest = contest
    return entries


def words_of(contest: Contest) -> list[MeetingWord]:
    """Every word of the meeting, oldest first."""
    return list(contest.words.select_related("said_by"))


def meeting_lines(
    contest: Contest, entries: list[Entry], words: list[MeetingWord]
) -> list[MeetingLine]:
    """Every line in the meeting's order, with the newest word on it; no query of its own."""
    newest = {(word.line, word.entry_id): word for word in words}
    places: list[tuple[str, Entry | None]] = [(OFFSET, None)]
    places += [(WINDOW, entry) for entry in entries]
    places += [(name, None) for name in LINES if name != OFFSET]
    books = list(dict.fromkeys(entry.rulebook for entry in entries))
    return [
        _line(contest, line, entry, newest.get((line, entry.pk if entry else None)), books)
        for line, entry in places
    ]


def meeting_page(contest: Contest) -> Meeting:
    """The meeting as it stands; two queries."""
    entries, words = boxes(contest), words_of(contest)
    lines = meeting_lines(contest, entries, words)
    leaving = [(entry, leave_by(entry)) for entry in entries if not entry.turned_in_at]
    by_id = {entry.pk: entry for entry in entries}
    return Meeting(
        contest=contest,
        open=tuple(line for line in lines if not line.confirmed),
        settled=tuple(line for line in lines if line.confirmed),
        leaving=tuple(LeavingRow(box_name(entry), at) for entry, at in leaving if at),
        log=tuple(_log_row(contest, word, by_id) for word in reversed(words)),
    )


def _line(
    contest: Contest,
    line: str,
    entry: Entry | None,
    word: MeetingWord | None,
    books: list[Rulebook],
) -> MeetingLine:
    now = stands(contest, line, entry)
    confirmed = word is not None and (word.after if word.changed else word.before) == now
    said = ""
    if word:
        said = f"{_did(word)} by {word.said_by}, {at_ours(word.said_at, contest)}"
        if word.changed:
            said += f"; it was {word.before}" if word.before else ""
        if not confirmed:
            said += "; changed since"
    return MeetingLine(
        key=f"{WINDOW}-{entry.pk}" if entry else line.replace("_", "-"),
        line=line,
        entry=entry,
        label=label_of(line, entry),
        stands=now,
        beside=_beside(line, [entry.rulebook] if entry else books),
        confirmed=confirmed,
        said=said,
    )


def _did(word: MeetingWord) -> str:
    if not word.changed:
        return "confirmed"
    return "changed" if word.before else "written down"


def at_ours(moment: datetime, contest: Contest) -> str:
    """When somebody pressed, by our own clock."""
    local = moment.astimezone(contest.zone)
    day = "" if local.date() == contest.held_on else f" {local:%a} {local.day} {local:%b}"
    return f"{time_of_day(local)}{day}"


def _beside(line: str, books: list[Rulebook]) -> tuple[str, ...]:
    """What the rulebooks say on this line."""
    if line == WINDOW:
        return tuple(
            f"{book} gives {book.window_minutes} minutes." for book in books if book.window_minutes
        )
    if line == "protest_minutes":
        return tuple(
            f"{book} gives {book.protest_minutes} minutes."
            for book in books
            if book.protest_minutes is not None
        )
    if line == "box_word":
        return tuple(f"{book}: {book.box_rules}" for book in books if book.box_rules)
    return ()


def _log_row(contest: Contest, word: MeetingWord, entries: dict[UUID, Entry]) -> LogRow:
    entry = entries.get(word.entry_id) if word.entry_id else None
    before, after = word.before or "nothing", word.after or "nothing"
    words = f"confirmed: {before}"
    if word.changed:
        words = f"was {before}; now {after}" if word.before else f"written down: {after}"
    return LogRow(
        at=at_ours(word.said_at, contest),
        who=str(word.said_by),
        label=label_of(word.line, entry),
        words=words,
        changed=word.changed,
    )
