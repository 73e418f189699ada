"""What is due before a contest for getting in: days of fees, the deposit, money to ask back."""

from collections.abc import Iterable, Iterator
from datetime import date
from itertools import pairwise

from django.db.models import Q

from teamops.contests.models import Contest, Payment
from teamops.contests.queries.fees import DAY, WALK_UP, fee_steps
from teamops.contests.queries.payments import days_off, money_asks, payments_by_contest
from teamops.contests.queries.words import addresses, time_of_day, today_of
from teamops.teams.due import Due
from teamops.teams.models import Team

Timed = tuple[date, int, Due]  # with the minutes of the day, which order it; -1 for no time
State = Contest.State
NOT_IN = (State.CONSIDERING, State.WAIT_LIST)
IN = (State.ENTERED, State.ACCEPTED, State.PAID)


def entering_rows(team: Team, until: date) -> list[Timed]:
    """What is due for entering up to a day; two queries, three where a refund is to ask for.

    What was to be done by a day that has passed is gone; money to ask for stays until it came.
    """
    near = Q(early_until_on__lte=until) | Q(late_from_on__lte=until + DAY)
    near |= Q(deadline_on__lte=until) | Q(entries_open_at__date__lte=until + DAY)
    over = Q(state__in=(*Contest.OFF, State.COOKED))
    concerned = near & ~over | Q(payments__isnull=False)
    contests = Contest.objects.for_team(team).filter(concerned).select_related("team").distinct()
    return [row for row in entering_due(contests, today_of(team)) if row[0] <= until]


def entering_due(contests: Iterable[Contest], today: date) -> list[Timed]:
    """What is due for entering these contests of one team, from today on; money since it is owed.

    Entries open (with its time), the early fee ends, the late fee starts, the deposit is due, a
    refund is to ask for. One query for their payments, one more where a refund is to ask for.
    """
    contests = [row for row in contests if row.kind == Contest.Kind.JUDGED]
    if not contests:
        return []
    page = addresses(contests[0].team, "contests:show_contest")
    paid = payments_by_contest(contests)
    asks = {row.pk: money_asks(row, paid[row.pk], today) for row in contests}
    off = days_off([row for row in contests if asks[row.pk] and row.is_off])
    rows: list[Timed] = []
    for contest in contests:
        url = page(contest.pk)
        dated = _dated(contest, paid[contest.pk], url)
        rows.extend(row for row in dated if row[0] >= today)
        for ask in asks[contest.pk]:
            on = off.get(contest.pk, ask.on)
            rows.append((on, -1, Due(on, ask.todo, contest.name, url=url)))
    return rows


def _dated(contest: Contest, paid: list[Payment], url: str) -> Iterator[Timed]:
    """The contest's own days for entering, on its own clock."""
    name, state = contest.name, contest.state
    if contest.entries_open_at and state == State.CONSIDERING:
        local = contest.entries_open_at.astimezone(contest.zone)
        row = Due(local.date(), "Entries open", name, time_of_day(local), url)
        yield local.date(), local.hour * 60 + local.minute, row
    if state not in (*NOT_IN, *IN):
        return
    if not contest.fee_paid_on:
        yield from _fee_days(contest, url)
    given = any(payment.kind in Payment.OURS for payment in paid)
    on = contest.deadline_on
    if on and contest.deposit and not given and state != State.CONSIDERING:
        yield on, -1, Due(on, f"Pay the deposit of {contest.deposit:.2f}", name, url=url)


def _fee_days(contest: Contest, url: str) -> Iterator[Timed]:
    """The last day of each fee that another follows; the walk-up fee is nothing to wait for."""
    for now, after in pairwise(fee_steps(contest)):
        if after.since is None or now.amount is None or after.name == WALK_UP:
            continue
        on = after.since - DAY
        if now.name:
            what = f"Early fee of {now.amount:.2f} ends, then {after.priced}"
        else:
            what = f"Last day before the {after.priced}"
        yield on, -1, Due(on, what, contest.name, url=url)
