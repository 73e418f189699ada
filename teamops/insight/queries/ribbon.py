"""The way to the turn-in: entered, paid, packed, loaded in, turned in, each as it really is."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from teamops.contests.models import Contest
from teamops.contests.queries import Ticket, time_of_day
from teamops.insight.drawings import Stop

State = Contest.State
IN = (State.ENTERED, State.PAID, State.ACCEPTED, State.COOKED)


@dataclass(frozen=True, slots=True)
class Packed:
    """How far a trip's packing list has got."""

    lines: int
    packed: int


def ribbon(ticket: Ticket, packed: Packed | None, now: datetime, today: date) -> tuple[Stop, ...]:
    """The way to this contest's turn-in as it stands at `now`; nothing is taken for granted.

    The first stop that is not done is the one to see to now. The fee is paid when the payments say
    so, not because an entry was accepted. A practice has neither.
    """
    contest = ticket.contest
    steps = []
    if contest.kind == Contest.Kind.JUDGED:
        steps += [_entered(contest), _paid(contest, today)]
    steps += [_packed(packed), _load_in(contest, now), _turn_in(ticket)]
    first = next((n for n, (_, _, done) in enumerate(steps) if not done), len(steps))
    return tuple(
        Stop(word, note, "done" if done else "now" if number == first else "next")
        for number, (word, note, done) in enumerate(steps)
    )


def ribbon_words(stops: Sequence[Stop]) -> str:
    """The way in words, for somebody who hears the page."""
    states = {"done": "done", "now": "comes now", "next": "to come"}
    said = [
        f"{stop.word} {states[stop.look]}{f' ({stop.note})' if stop.note else ''}" for stop in stops
    ]
    return f"The way to the turn-in: {', '.join(said)}."


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
    if contest.fee_paid_on:
        return "paid", "", True
    by = contest.deadline_on
    return "pay", f"by {by.day} {by:%b}" if by and by >= today else "", False


def _packed(packed: Packed | None) -> Step:
    if packed is None or not packed.lines:
        return "pack", "no list", False
    if packed.packed >= packed.lines:
        return "packed", "", True
    return "pack", f"{packed.packed}/{packed.lines}", False


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
    """A time in few letters: 7 am, 1:15 pm; the weekday alone where it is another day."""
    local = moment.astimezone(contest.zone)
    if local.date() != contest.held_on:
        return f"{local:%a}"
    return time_of_day(local).replace(":00", "")
