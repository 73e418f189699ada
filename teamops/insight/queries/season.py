"""The season's home: what comes next, what is to do, what has been, where the points go."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db.models import Count, F, Q

from teamops.contests.models import Contest, Entry
from teamops.contests.queries import Ticket, ticket_of, with_entries
from teamops.insight.links import Links
from teamops.insight.queries.choices import latest_selection
from teamops.insight.queries.ledger import CategoryLedger, category_ledger
from teamops.insight.queries.ribbon import Packed, Ribbon, ribbon
from teamops.insight.queries.scores import PlainResult, plain_result
from teamops.insight.queries.todo import Todo, todo_list
from teamops.insight.words import away_words
from teamops.packing.models import PackingLine
from teamops.teams.models import Team

COMING_SHOWN, PAST_SHOWN = 8, 8
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
    ribbon: Ribbon
    url: str


@dataclass(frozen=True, slots=True)
class PastTicket:
    """A contest that is over: its boxes and what each got."""

    name: str
    held_on: date
    state: str
    url: str
    results: tuple[PlainResult, ...]


@dataclass(frozen=True, slots=True)
class SeasonPage:
    """Everything on the season's home; `started` is false where the team has no contest at all."""

    headline: str
    started: bool
    coming: tuple[SeasonTicket, ...]
    more_coming: bool
    past_year: int | None
    past: tuple[PastTicket, ...]
    more_past: bool
    todo: Todo
    ledger: CategoryLedger | None


def season_page(team: Team, today: date, now: datetime) -> SeasonPage:
    """The season on the team's clock; 15 queries, however many contests."""
    tickets, more_coming = _coming(team, today)
    packed = _packed(ticket.contest.trip_id for ticket in tickets)
    links = Links(team)
    coming = tuple(
        _season_ticket(ticket, packed.get(ticket.contest.trip_id), team, now, today, links)
        for ticket in tickets
    )
    year, past, more_past = _past(team, today, links)
    selection = latest_selection(team)
    return SeasonPage(
        headline=_headline(tickets, started=bool(tickets or year)),
        started=bool(tickets or year),
        coming=coming,
        more_coming=more_coming,
        past_year=year,
        past=past,
        more_past=more_past,
        todo=todo_list(team, today),
        ledger=category_ledger(team, selection) if selection else None,
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


def _coming(team: Team, today: date) -> tuple[list[Ticket], bool]:
    """The next tickets, and whether there are more; two queries."""
    rows = Contest.objects.for_team(team).coming(today).prefetch_related(with_entries())
    tickets = [ticket_of(contest, today) for contest in rows[: COMING_SHOWN + 1]]
    return tickets[:COMING_SHOWN], len(tickets) > COMING_SHOWN


def _packed(trips: Iterable[UUID]) -> dict[UUID, Packed]:
    """How far the trips' lists have got; one query."""
    wanted = set(trips)
    if not wanted:
        return {}
    lines = PackingLine.objects.filter(gone=False, amount__gt=0, packing_list__trip__in=wanted)
    packed = Q(packed_amount__gte=F("amount"))
    counts = (
        lines.order_by()
        .values_list("packing_list__trip")
        .annotate(lines=Count("pk"), packed=Count("pk", filter=packed))
    )
    return {trip: Packed(every, done) for trip, every, done in counts}


def _season_ticket(
    ticket: Ticket,
    packed: Packed | None,
    team: Team,
    now: datetime,
    today: date,
    links: Links,
) -> SeasonTicket:
    contest = ticket.contest
    fee, look = _fee(contest, team)
    left = packed.lines - packed.packed if packed else 0
    return SeasonTicket(
        ticket=ticket,
        away=away_words(ticket.days_away),
        fee=fee,
        fee_look=look,
        packing=f"{left} to pack" if left else "",
        windows=_windows(ticket),
        ribbon=ribbon(ticket, packed, now, today),
        url=links.to("contests:show_contest", contest.pk),
    )


def _windows(ticket: Ticket) -> tuple[str, ...]:
    """Each turn-in window once, with how many boxes it is for."""
    many = Counter(ticket.windows)
    return tuple(f"{words}, {n} boxes" if n > 1 else words for words, n in many.items())


def _fee(contest: Contest, team: Team) -> tuple[str, str]:
    """How the fee stands, in words, and how its stamp looks; nothing where it is not known."""
    if contest.kind == Contest.Kind.PRACTICE:
        return "", ""
    settled = contest.state in (Contest.State.PAID, Contest.State.ACCEPTED, Contest.State.COOKED)
    if contest.fee is not None and not contest.fee:
        return "no fee", "ok"
    if settled:
        return "fee paid", "ok"
    if contest.fee is None:
        return "", ""
    return f"fee {contest.fee:.2f} {team.currency} to pay", "due"


def _past(team: Team, today: date, links: Links) -> tuple[int | None, tuple[PastTicket, ...], bool]:
    """The latest season's contests that are over, and whether there are more; two queries."""
    rows = list(Contest.objects.for_team(team).past(today)[: PAST_SHOWN + 1])
    if not rows:
        return None, (), False
    year = rows[0].held_on.year
    contests = [contest for contest in rows if contest.held_on.year == year]
    entries = Entry.objects.filter(contest__in=contests).select_related("category", "result")
    boxes: dict[UUID, list[PlainResult]] = {}
    for entry in entries:
        boxes.setdefault(entry.contest_id, []).append(plain_result(entry, links))
    tickets = tuple(
        PastTicket(
            name=contest.name,
            held_on=contest.held_on,
            state=contest.get_state_display() if contest.is_off else "",
            url=links.to("contests:show_contest", contest.pk),
            results=tuple(boxes.get(contest.pk, ())),
        )
        for contest in contests[:PAST_SHOWN]
    )
    return year, tickets, len(contests) > PAST_SHOWN
