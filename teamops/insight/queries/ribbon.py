"""The way to the turn-in: entered, paid, packed, loaded in, turned in, each as it really is."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from teamops.contests.models import Contest
from teamops.contests.queries import Ticket, time_of_day

State = Contest.State
IN = (State.ENTERED, State.PAID, State.ACCEPTED, State.COOKED)
FEE_SETTLED = (State.PAID, State.ACCEPTED, State.COOKED)


class Look(StrEnum):
    """How a stop is drawn: ticked, ringed or hollow."""

    DONE = "done"
    NOW = "now"
    NEXT = "next"


@dataclass(frozen=True, slots=True)
class Packed:
    """How far a trip's packing list has got."""

    lines: int
    packed: int


@dataclass(frozen=True, slots=True)
class Stop:
    """One stop of the way: its word, what is known of it, how it is drawn and where, in percent."""

    word: str
    note: str
    look: Look
    place: int


@dataclass(frozen=True, slots=True)
class Ribbon:
    """The stops in order; the first that is not done is the one to see to now."""

    stops: tuple[Stop, ...]

    @property
    def end(self) -> int:
        """Where the last stop is, in percent."""
        return self.stops[-1].place

    @property
    def words(self) -> str:
        """The same for somebody who hears the page."""
        said = []
        for stop in self.stops:
            state = {Look.DONE: "done", Look.NOW: "comes now", Look.NEXT: "to come"}[stop.look]
            said.append(f"{stop.word} {state}{f' ({stop.note})' if stop.note else ''}")
        return "The way to the turn-in: " + ", ".join(said) + "."


def ribbon(ticket: Ticket, packed: Packed | None, now: datetime, today: date) -> Ribbon:
    """The way to this contest's turn-in as it stands at `now`; nothing is taken for granted.

    An entry that was accepted counts as paid: its fee comes before. A practice has neither.
    """
    contest = ticket.contest
    steps = []
    if contest.kind == Contest.Kind.JUDGED:
        steps += [_entered(contest), _paid(contest, today)]
    steps += [_packed(packed), _load_in(contest, now), _turn_in(ticket)]
    first = next((n for n, (_, _, done) in enumerate(steps) if not done), len(steps))
    stops = []
    for number, (word, note, done) in enumerate(steps):
        look = Look.DONE if done else Look.NOW if number == first else Look.NEXT
        stops.append(Stop(word, note, look, (2 * number + 1) * 100 // (2 * len(steps))))
    return Ribbon(tuple(stops))


Step = tuple[str, str, bool]  # word, note, whether it is done


def _entered(contest: Contest) -> Step:
    if contest.state == State.WAIT_LIST:
        return "entered", "wait list", False
    if contest.state in IN:
        return "entered", "", True
    by = contest.deadline_on
    return "enter", f"by {by.day} {by:%b}" if by else "", False


def _paid(contest: Contest, today: date) -> Step:
    if contest.fee is not None and not contest.fee:
        return "fee", "none", contest.state in IN
    if contest.state in FEE_SETTLED:
        return "paid", "", True
    by = contest.deadline_on
    return "pay", f"by {by.day} {by:%b}" if by and by >= today else "", False


def _packed(packed: Packed | None) -> Step:
    if packed is None or not packed.lines:
        return "pack", "no list", False
    if packed.packed >= packed.lines:
        return "packed", "", True
    return "pack", f"{packed.packed} of {packed.lines}", False


def _load_in(contest: Contest, now: datetime) -> Step:
    at = contest.load_in_at
    if at is None:
        return "load-in", "", False
    return "load-in", _clock(at, contest), at <= now


def _turn_in(ticket: Ticket) -> Step:
    entries = ticket.entries
    if entries and all(entry.turned_in_at for entry in entries):
        return "turned in", "", True
    note = _clock(ticket.turn_in_at, ticket.contest) if ticket.turn_in_at else ""
    return "turn-in", note, False


def _clock(moment: datetime, contest: Contest) -> str:
    """A time in few letters: 1:00 pm; the weekday alone where it is another day."""
    local = moment.astimezone(contest.zone)
    return time_of_day(local) if local.date() == contest.held_on else f"{local:%a}"
