"""The season's home: what comes next, what is to do, what has been, where the points go."""

from collections import Counter
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.utils.safestring import SafeString

from teamops.contests.models import Contest, Payment
from teamops.contests.queries import (
    Ticket,
    fee_now,
    purse_of,
    ticket_of,
    waiting_since,
    with_entries,
)
from teamops.contests.queries.payments import payments_by_contest
from teamops.insight.drawings import draw_way
from teamops.insight.links import Links
from teamops.insight.queries.past import Past, past_contests
from teamops.insight.queries.ribbon import Packed, ribbon, ribbon_words
from teamops.insight.queries.todo import Todo, todo_list
from teamops.insight.words import away_words
from teamops.packing import queries as packing
from teamops.teams.models import Team

COMING_SHOWN = 8
NOT_YET_IN = (Contest.State.CONSIDERING, Contest.State.WAIT_LIST)


@dataclass(frozen=True, slots=True)
class SeasonTicket:
    """A coming contest with what its stamps say and the way to its turn-in."""

    ticket: Ticket
    away: str
    fee: str
    fee_look: str
    packing: str
    windows: tuple[str, ...]
    way: SafeString
    url: str


@dataclass(frozen=True, slots=True)
class SeasonPage:
    """Everything on the season's home; `started` is false where the team has no contest at all."""

    headline: str
    started: bool
    coming: tuple[SeasonTicket, ...]
    more_coming: bool
    past: Past
    todo: Todo


def season_page(team: Team, today: date, now: datetime) -> SeasonPage:
    """The season on the team's clock; thirteen to sixteen queries, however many contests."""
    links = Links(team)
    coming = _coming(team, today)
    shown = coming[:COMING_SHOWN]
    since = waiting_since(shown)
    tickets = [ticket_of(contest, today, since.get(contest.pk)) for contest in shown]
    ahead = packing.lists_ahead(team, today)
    packed = {row.trip_id: Packed(row.lines, row.packed) for row in ahead.lists}
    paid = _part_paid(shown, today)
    past = past_contests(team, today, links)
    started = bool(tickets) or past.year is not None
    return SeasonPage(
        headline=_headline(tickets, started=started),
        started=started,
        coming=tuple(
            _season_ticket(
                ticket,
                packed.get(ticket.contest.trip_id),
                _fee(ticket.contest, paid.get(ticket.contest.pk, []), team, today),
                now,
                today,
                links,
            )
            for ticket in tickets
        ),
        more_coming=len(coming) > COMING_SHOWN,
        past=past,
        todo=todo_list(team, today, coming=coming, ahead=ahead),
    )


def _headline(tickets: list[Ticket], *, started: bool) -> str:
    """The first thing a cook wants to know: how long until the next turn-in."""
    if not tickets:
        return "Nothing coming yet" if started else "Your season starts here"
    ours = [t for t in tickets if t.contest.state not in NOT_YET_IN] or tickets
    ticket = ours[0]
    away = away_words(ticket.days_away)
    if ticket.contest.state in NOT_YET_IN:
        return f"Next contest in sight {away}"
    if ticket.contest.kind == Contest.Kind.PRACTICE:
        return f"Practice {away}"
    if ticket.entries and all(entry.turned_in_at for entry in ticket.entries):
        return "Every box is turned in"
    return f"Next turn-in {away}"


def _coming(team: Team, today: date) -> list[Contest]:
    """Every contest to come with its entries: for tickets and for what is due; two queries."""
    return list(Contest.objects.for_team(team).coming(today).prefetch_related(with_entries()))


def _season_ticket(
    ticket: Ticket,
    packed: Packed | None,
    fee: tuple[str, str],
    now: datetime,
    today: date,
    links: Links,
) -> SeasonTicket:
    contest = ticket.contest
    stops = ribbon(ticket, packed, now, today)
    left = packed.lines - packed.packed if packed else 0
    return SeasonTicket(
        ticket=ticket,
        away=away_words(ticket.days_away),
        fee=fee[0],
        fee_look=fee[1],
        packing=f"{left} to pack" if left else "",
        windows=_windows(ticket),
        way=draw_way(stops, ribbon_words(stops)),
        url=links.to("contests:show_contest", contest.pk),
    )


def _windows(ticket: Ticket) -> tuple[str, ...]:
    """Each turn-in window once, with how many boxes it is for."""
    many = Counter(ticket.windows)
    return tuple(f"{words}, {n} boxes" if n > 1 else words for words, n in many.items())


def _part_paid(contests: list[Contest], today: date) -> dict[UUID, list[Payment]]:
    """What was paid for those that owe a fee still; a query, none where none does."""
    owing = [
        contest
        for contest in contests
        if contest.state != Contest.State.CONSIDERING
        and not contest.fee_paid_on
        and fee_now(contest, today).amount
    ]
    return payments_by_contest(owing) if owing else {}


def _fee(contest: Contest, payments: list[Payment], team: Team, today: date) -> tuple[str, str]:
    """How the fee stands, in words, and how its stamp looks; nothing where it is not known."""
    if contest.kind == Contest.Kind.PRACTICE:
        return "", ""
    fee = fee_now(contest, today).amount
    if fee is not None and not fee:
        return "no fee", "ok"
    if contest.fee_paid_on:
        return "fee paid", "ok"
    if fee is None:
        return "", ""
    purse = purse_of(contest, payments, today)
    if purse.fee > 0:
        return f"{purse.missing:.2f} of {fee:.2f} {team.currency} still to pay", "due"
    return f"fee {fee:.2f} {team.currency} to pay", "due"
