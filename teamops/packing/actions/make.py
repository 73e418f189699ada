"""Making a list and working it out again."""

from collections.abc import Iterable

from django.db import transaction
from django.utils import timezone

from teamops.contests.models import Trip
from teamops.inventory.actions import add_starters
from teamops.inventory.models import Kit
from teamops.packing.actions.rework import rework
from teamops.packing.actions.state import next_state
from teamops.packing.models import PackingList
from teamops.teams.models import User


@transaction.atomic
def make_list(
    *, packing_list: PackingList, kits: Iterable[Kit] | None, with_starters: bool, by: User
) -> PackingList:
    """Keep a trip's list with its lines; the list it has already, if the press came twice.

    `kits` are what it takes, None for all of the team's; `with_starters` adds the starter items
    first.
    """
    trip = Trip.objects.select_for_update().get(pk=packing_list.trip_id)
    known = PackingList.objects.filter(trip=trip).first()
    if known:
        return known
    if with_starters:
        add_starters(team=trip.team, by=by)
    packing_list.made_at, packing_list.made_by = timezone.now(), by
    packing_list.changed_by = by
    packing_list.full_clean()
    packing_list.save()
    packing_list.kits.set(Kit.objects.for_team(trip.team) if kits is None else kits)
    rework(packing_list, next_state(packing_list, reshaped=True))
    return packing_list


@transaction.atomic
def remake_list(
    *, packing_list: PackingList, kits: Iterable[Kit] | None, seen: int, by: User
) -> list[str]:
    """Work a list out anew from changed numbers, kits or gear; what changed, in sentences.

    `kits` are what it takes now, None for all of the team's.
    The sentences stay on the list until the next time, for whoever opens it. Raises Conflict if
    someone changed the numbers since version `seen`.
    """
    packing_list.claim(seen=seen, by=by)
    state = next_state(packing_list, reshaped=True)
    team = packing_list.trip.team_id
    packing_list.kits.set(Kit.objects.for_team(team) if kits is None else kits)
    packing_list.news = rework(packing_list, state)
    packing_list.full_clean()
    packing_list.save()
    return packing_list.news


@transaction.atomic
def delete_list(*, packing_list: PackingList) -> None:
    """Take a list away with its lines and what they put on the shopping list."""
    packing_list.delete()
