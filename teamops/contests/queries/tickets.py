"""Contests as their tickets show them."""

from dataclasses import dataclass
from datetime import date, datetime
from itertools import groupby

from django.db.models import F, Prefetch, QuerySet

from teamops.contests.models import Contest, Entry
from teamops.contests.queries.contest import waiting_since
from teamops.contests.queries.words import drive, ordinal, short_day, today_of, window
from teamops.teams.models import Team


@dataclass(frozen=True, slots=True)
class Ticket:
    """A contest as its ticket shows it. `turn_in_at` is the first window's close, if known."""

    contest: Contest
    entries: tuple[Entry, ...]
    line: str
    turn_in_at: datetime | None
    windows: tuple[str, ...]
    days_away: int
    place_since: date | None = None

    @property
    def state(self) -> tuple[str, str]:
        """The state in words, and how its stamp looks: ok, due or hot."""
        contest, state = self.contest, Contest.State
        words = contest.get_state_display()
        if contest.state == state.WAIT_LIST and contest.wait_list_place:
            words = f"wait list, {ordinal(contest.wait_list_place)}"
            if self.place_since:
                words += f" since {short_day(self.place_since)}"
        if contest.state in (state.ACCEPTED, state.COOKED, state.PAID):
            return words, "ok"
        return words, "hot" if contest.is_off else "due"


def with_entries(*more: str) -> "Prefetch[str]":
    """Entries with what their words need, and `more`, in the order of their windows.

    Of the rulebook only the minutes to protest are read, see `book_minutes`: it has many columns.
    """
    rows = Entry.objects.select_related("category", "cook_of_record", *more)
    return Prefetch("entries", queryset=rows.annotate(book_minutes=F("rulebook__protest_minutes")))


def book_minutes(entry: Entry) -> int:
    """Minutes to protest by the rulebook of an entry read by `with_entries`; 0 if it has none."""
    return getattr(entry, "book_minutes", None) or 0


def coming_tickets(team: Team, today: date | None = None) -> list[Ticket]:
    """Tickets of what is coming, soonest first; two queries, one more where one waits."""
    today = today or today_of(team)
    rows = Contest.objects.for_team(team).coming(today)
    return _tickets(rows.select_related("trip").prefetch_related(with_entries()), today)


def contests_by_year(team: Team, today: date | None = None) -> list[tuple[int, list[Ticket]]]:
    """Every contest of the team as tickets, newest year first, in date order.

    Two queries, a third where one waits for a place.
    """
    today = today or today_of(team)
    rows = Contest.objects.for_team(team).order_by("-held_on", "name", "pk")
    tickets = _tickets(rows.prefetch_related(with_entries()), today)
    years = groupby(tickets, key=lambda ticket: ticket.contest.held_on.year)
    return [(year, list(rows)) for year, rows in years]


def _tickets(rows: QuerySet[Contest], today: date) -> list[Ticket]:
    contests = list(rows)
    since = waiting_since(contests)
    return [ticket_of(contest, today, since.get(contest.pk)) for contest in contests]


def ticket_of(contest: Contest, today: date, place_since: date | None = None) -> Ticket:
    """One contest's ticket; no query where its entries are prefetched.

    `place_since` is the day since when it has its place on the wait list, if it waits.
    """
    entries = tuple(contest.entries.all())
    for entry in entries:
        entry.contest = contest
    closes = [entry.window_closes_at for entry in entries if entry.window_closes_at]
    many = (
        f"{len(entries)} entr{'y' if len(entries) == 1 else 'ies'}" if entries else "no entry yet"
    )
    parts = [
        contest.place,
        drive(contest.drive_minutes) and f"{drive(contest.drive_minutes)} drive",
    ]
    practice = contest.kind == Contest.Kind.PRACTICE
    parts.append("practice" if practice and not entries else many)
    return Ticket(
        contest=contest,
        entries=entries,
        line=" · ".join(part for part in parts if part),
        turn_in_at=min(closes, default=None),
        windows=tuple(f"{entry.category}: {window(entry)}" for entry in entries if window(entry)),
        days_away=(contest.held_on - today).days,
        place_since=place_since,
    )
