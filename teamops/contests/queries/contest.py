"""One contest: what is odd about its days, and how it came to stand as it does."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from teamops.calc.units import show_temperature
from teamops.contests.models import Contest, Entry
from teamops.contests.queries.words import clock, long_day, ordinal, short_day, time_of_day

State = Contest.State


@dataclass(frozen=True, slots=True)
class Stand:
    """A state that a contest was in: since which day, on which place of the wait list."""

    state: str
    place: int | None
    since: date
    by: str

    @property
    def words(self) -> str:
        label = State(self.state).label
        if self.state == State.WAIT_LIST and self.place:
            label = f"{label}, {ordinal(self.place)}"
        return label


@dataclass(frozen=True, slots=True)
class ContestStory:
    """How a contest came to stand as it does, the newest last."""

    stands: tuple[Stand, ...]

    @property
    def lines(self) -> list[str]:
        """Day, state and who, line by line."""
        return [
            f"{long_day(s.since)}: {s.words}{f', by {s.by}' if s.by else ''}" for s in self.stands
        ]

    @property
    def since(self) -> date | None:
        """Since when it stands as it does."""
        return self.stands[-1].since if self.stands else None

    @property
    def waiting(self) -> str:
        """Its places on the wait list now: 4th since 3 May, before that 7th since 1 May."""
        places = []
        for stand in reversed(self.stands):
            if stand.state != State.WAIT_LIST:
                break
            if stand.place:
                places.append(f"{ordinal(stand.place)} since {short_day(stand.since)}")
        return ", before that ".join(places)


def contest_story(contest: Contest) -> ContestStory:
    """Every state and place it was in, from its history; one query."""
    return ContestStory(tuple(_stands([contest]).get(contest.pk, ())))


def waiting_since(contests: Iterable[Contest]) -> dict[UUID, date]:
    """Since which day each that waits has held its place; one query, none where none waits."""
    waiting = [row for row in contests if row.state == State.WAIT_LIST and row.wait_list_place]
    return {pk: stands[-1].since for pk, stands in _stands(waiting).items()}


def _stands(contests: Sequence[Contest]) -> dict[UUID, list[Stand]]:
    if not contests:
        return {}
    zones = {row.pk: row.zone for row in contests}
    past = Contest.history.filter(id__in=list(zones)).order_by("history_date", "history_id")
    found: dict[UUID, list[Stand]] = {}
    rows = past.values_list("id", "state", "wait_list_place", "history_date", "changed_by__name")
    for pk, state, place, at, by in rows:
        stands = found.setdefault(pk, [])
        if not stands or (stands[-1].state, stands[-1].place) != (state, place):
            stands.append(Stand(state, place, at.astimezone(zones[pk]).date(), by or ""))
    return found


def contest_warnings(contest: Contest, entries: Iterable[Entry]) -> dict[str, str]:
    """What is odd about its days, by field, in words; nothing of it is refused. Asks nothing."""
    opens = [at for entry in entries if (at := entry.window_opens_at or entry.window_closes_at)]
    closes = [at for entry in entries if (at := entry.window_closes_at or entry.window_opens_at)]
    first, last = min(opens, default=None), max(closes, default=None)
    found: dict[str, str] = {}
    for name in ("load_in_at", "meeting_at"):
        if words := _too_late(getattr(contest, name), contest, first):
            found[name] = words
    if contest.awards_at:
        if last and contest.awards_at < last:
            found["awards_at"] = f"before the last turn-in closes, {clock(last, contest)}"
        elif contest.awards_at.astimezone(contest.zone).date() < contest.held_on:
            found["awards_at"] = "before the day of the contest"
    return found | _fee_warnings(contest)


def day_moments(contest: Contest) -> list[tuple[str, str, str]]:
    """The moments of the day that are known: label, field, time on the contest's clock."""
    moments = (
        ("Load-in", "load_in_at"),
        ("Cooks’ meeting", "meeting_at"),
        ("Awards", "awards_at"),
    )
    rows = ((label, name, getattr(contest, name)) for label, name in moments)
    return [(label, name, clock(at, contest)) for label, name, at in rows if at]


def weather_words(contest: Contest) -> str:
    """What is noted of its weather, in the team's units: "78 °F, rain"; or nothing."""
    air = contest.air_c
    parts = [
        "" if air is None else show_temperature(air, contest.team.units),
        {"yes": "rain", "no": "dry"}.get(contest.rain, ""),
        {"yes": "strong wind", "no": "no strong wind"}.get(contest.wind, ""),
    ]
    return ", ".join(filter(None, parts))


def opening_words(contest: Contest) -> str:
    """When entries open, with the clock there: "Mon 1 Mar 2027, 9:00 am"; or nothing."""
    if contest.entries_open_at is None:
        return ""
    local = contest.entries_open_at.astimezone(contest.zone)
    return f"{local:%a} {long_day(local.date())}, {time_of_day(local)}"


def _too_late(at: datetime | None, contest: Contest, first: datetime | None) -> str:
    if at is None:
        return ""
    if at.astimezone(contest.zone).date() > contest.held_on:
        return "after the day of the contest"
    return f"after the first turn-in, {clock(first, contest)}" if first and at > first else ""


def _fee_warnings(contest: Contest) -> dict[str, str]:
    found: dict[str, str] = {}
    if contest.early_fee is not None and not contest.early_until_on:
        found["early_fee"] = "until when it holds is not known, so it is not counted"
    if contest.late_fee is not None and not contest.late_from_on:
        found["late_fee"] = "from when it holds is not known, so it is not counted"
    early, late = contest.early_until_on, contest.late_from_on
    if early and late and late <= early:
        found["late_fee"] = "starts before the early fee has ended: the early fee is counted first"
    opens, deadline = contest.entries_open_at, contest.deadline_on
    if opens and deadline and opens.astimezone(contest.zone).date() > deadline:
        found["entries_open_at"] = "after the entry deadline"
    return found
