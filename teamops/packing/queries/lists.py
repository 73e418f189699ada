"""Trips with their packing lists."""

from dataclasses import dataclass
from datetime import date
from typing import Any
from uuid import UUID

from django.db.models import Count, F, IntegerField, OuterRef, QuerySet, Subquery
from django.db.models.functions import Coalesce

from teamops.contests.models import Contest, Trip
from teamops.contests.queries import today_of
from teamops.packing.models import PackingLine, ShoppingLine
from teamops.packing.queries.sums import DONE, WANTED
from teamops.packing.stages import Stage
from teamops.teams.models import Team


@dataclass(frozen=True, slots=True)
class TripRow:
    """A trip with its list, or with the offer to make one; `list_id` is None without."""

    trip_id: UUID
    name: str
    on: date | None
    contests: str
    list_id: UUID | None
    progress: str
    to_buy: int


@dataclass(frozen=True, slots=True)
class TripRows:
    """What is coming, soonest first, and the lists of what is over, latest first."""

    coming: tuple[TripRow, ...]
    past: tuple[TripRow, ...]


def trip_rows(team: Team) -> TripRows:
    """Trips that have a contest to come, or a list; two queries."""
    today = today_of(team)
    contests: dict[UUID, list[Contest]] = {}
    for contest in Contest.objects.for_team(team).exclude(state__in=Contest.OFF):
        contests.setdefault(contest.trip_id, []).append(contest)
    coming, past = [], []
    for trip in _trips(team):
        held = contests.get(trip.pk, [])
        row = _trip_row(trip, held)
        last = max((contest.held_on for contest in held), default=None)
        end = trip.home_on or last or row.on
        if end is None or end >= today:
            if held or row.list_id:
                coming.append(row)
        elif row.list_id:
            past.append(row)
    far = date.max
    coming.sort(key=lambda row: (row.on or far, row.name))
    past.sort(key=lambda row: row.on or far, reverse=True)
    return TripRows(tuple(coming), tuple(past))


def _trip_row(trip: Any, contests: list[Contest]) -> TripRow:
    first = min((contest.held_on for contest in contests), default=None)
    names = ", ".join(contest.name for contest in contests if contest.name != trip.name)
    if trip.list_id is None:
        progress = ""
    elif trip.packed < trip.lines:
        progress = f"{trip.packed} of {trip.lines} packed"
    else:
        progress = f"all {trip.lines} packed" if trip.lines else "nothing on it yet"
    return TripRow(
        trip_id=trip.pk,
        name=trip.name,
        on=trip.leaves_on or first,
        contests=names,
        list_id=trip.list_id,
        progress=progress,
        to_buy=trip.to_buy,
    )


def contest_lines(trip: Trip) -> tuple[str, ...]:
    """Each contest that the trip drives to, in order: its name, its day, its place; one query."""
    return tuple(
        f"{contest}, {contest.held_on:%a} {contest.held_on.day} {contest.held_on:%b %Y}"
        + (f", {contest.place}" if contest.place else "")
        for contest in trip.contests.exclude(state__in=Contest.OFF)
    )


def _trips(team: Team) -> QuerySet[Trip]:
    """The team's trips, each with its list's id and counts: lines, packed, to_buy."""
    lines = PackingLine.objects.filter(packing_list__trip=OuterRef("pk")).filter(WANTED)
    opened = ShoppingLine.objects.filter(packing_list__trip=OuterRef("pk"), bought_at=None)
    return Trip.objects.for_team(team).annotate(
        list_id=F("packing_list__pk"),
        lines=_number(lines, "packing_list__trip"),
        packed=_number(lines.filter(DONE[Stage.PACK]), "packing_list__trip"),
        to_buy=_number(opened, "packing_list__trip"),
    )


def _number(rows: QuerySet[Any], by: str) -> Coalesce:
    counted = rows.order_by().values(by).annotate(many=Count("pk")).values("many")
    return Coalesce(Subquery(counted, output_field=IntegerField()), 0)
