"""The lists of trips that are not over: how far each has got, and what of it is due."""

from dataclasses import dataclass
from datetime import date, timedelta
from uuid import UUID

from django.db.models import Count, Min, Q
from django.urls import reverse

from teamops.contests.models import Contest
from teamops.contests.queries import today_of
from teamops.packing.models import PackingLine, PackingList, ShoppingLine
from teamops.packing.queries.sums import DONE, WANTED
from teamops.packing.stages import Stage
from teamops.teams.due import Due
from teamops.teams.models import Team

HELD = [state for state in Contest.State if state not in Contest.OFF]


@dataclass(frozen=True, slots=True)
class ListAhead:
    """A trip's list: lines that count, those packed, and what of it is to be bought.

    The trip leaves on its own day, or on that of its first contest; `leaves` is None if all of
    them are off.
    """

    list_id: UUID
    trip_id: UUID
    trip: str
    leaves: date | None
    lines: int
    packed: int
    to_buy: int


@dataclass(frozen=True, slots=True)
class Ahead:
    """Every list of a trip that is not over, and how many things are to be bought for no trip."""

    lists: tuple[ListAhead, ...]
    loose: int


def lists_ahead(team: Team, today: date) -> Ahead:
    """The lists of trips with a contest to come or still to leave; three queries at most."""
    coming = Contest.objects.for_team(team).filter(held_on__gte=today).order_by().values("trip")
    ahead = Q(trip__leaves_on__gte=today) | Q(trip__in=coming)
    rows = (
        PackingList.objects.for_team(team)
        .filter(ahead)
        .order_by()
        .values_list("pk", "trip_id", "trip__name", "trip__leaves_on")
        .annotate(first=Min("trip__contests__held_on", filter=Q(trip__contests__state__in=HELD)))
    )
    lists = list(rows)
    counts = _counts([pk for pk, *_ in lists])
    to_buy = _to_buy(team)
    return Ahead(
        lists=tuple(
            ListAhead(pk, trip_id, name, day or first, *counts.get(pk, (0, 0)), to_buy.get(pk, 0))
            for pk, trip_id, name, day, first in lists
        ),
        loose=to_buy.get(None, 0),
    )


def _counts(lists: list[UUID]) -> dict[UUID, tuple[int, int]]:
    """Lines of each list that count, and those packed; one query, none without lists."""
    if not lists:
        return {}
    rows = (
        PackingLine.objects.filter(WANTED, packing_list__in=lists)
        .order_by()
        .values_list("packing_list_id")
        .annotate(many=Count("pk"), packed=Count("pk", filter=DONE[Stage.PACK]))
    )
    return {pk: (many, packed) for pk, many, packed in rows}


def _to_buy(team: Team) -> dict[UUID | None, int]:
    """How many things are still to be bought for each list, and for none; one query."""
    rows = ShoppingLine.objects.for_team(team).filter(bought_at=None)
    return dict(rows.order_by().values_list("packing_list_id").annotate(many=Count("pk")))


def due(team: Team, until: date, ahead: Ahead | None = None) -> list[Due]:
    """What of packing and shopping is to be done the day before leaving, up to a day.

    A trip that has left is no longer packed for. Three queries at most; none where the lists
    `ahead` are known already.
    """
    today = today_of(team)
    ahead = ahead or lists_ahead(team, today)
    rows = []
    for row in ahead.lists:
        if row.leaves and row.leaves >= today:
            on = max(row.leaves - timedelta(days=1), today)
            rows += _list_due(team, row, on) if on <= until else []
    if ahead.loose:
        shop = reverse("packing:show_shopping", args=[team.slug])
        rows.append(Due(on=today, what=f"Buy {_things(ahead.loose)}", where="", url=shop))
    return sorted(rows, key=lambda row: (row.on, row.where, row.what))


def _list_due(team: Team, row: ListAhead, on: date) -> list[Due]:
    rows = []
    if row.to_buy:
        shop = reverse("packing:show_shopping", args=[team.slug])
        rows.append(Due(on=on, what=f"Buy {_things(row.to_buy)}", where=row.trip, url=shop))
    left = row.lines - row.packed
    if left:
        url = reverse("packing:show_list", args=[team.slug, row.list_id])
        what = f"Pack {_things(left)}" if left == row.lines else f"Pack {_things(left)} more"
        rows.append(Due(on=on, what=what, where=row.trip, url=url))
    return rows


def _things(count: int) -> str:
    return "1 thing" if count == 1 else f"{count} things"
