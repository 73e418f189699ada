"""What is done to trips and contests; each action is whole or not at all."""

from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.db import transaction

from teamops.contests.models import Contest, Trip
from teamops.teams.models import User

MOMENTS = ("load_in_at", "meeting_at", "awards_at")
WINDOWS = ("window_opens_at", "window_closes_at")


@transaction.atomic
def register_contest(*, contest: Contest, by: User) -> Contest:
    """Keep a new contest, with a trip of its own unless it joins one."""
    if contest.trip_id is None:
        contest.trip = _own_trip(contest)
    contest.changed_by = by
    contest.full_clean()
    contest.save()
    return contest


@transaction.atomic
def change_contest(*, contest: Contest, seen: int, by: User) -> Contest:
    """Keep a changed contest; another day or another clock takes every window along.

    Windows and moments keep their wall clock: 1:00 pm stays 1:00 pm. A moment that was typed anew
    is left as typed. Raises Conflict if someone changed the contest since version `seen`.
    """
    before = Contest.objects.select_for_update().get(pk=contest.pk)
    contest.claim(seen=seen, by=by)
    days = contest.held_on - before.held_on
    if days or contest.time_zone != before.time_zone:
        for name in MOMENTS:
            _follow(contest, before, name, days)
        for entry in contest.entries.all():
            for name in WINDOWS:
                moment = getattr(entry, name)
                if moment is not None:
                    setattr(entry, name, shift(moment, before.zone, contest.zone, days))
            entry.save()
    old_trip = before.trip
    if contest.trip_id is None:
        alone = not old_trip.contests.exclude(pk=contest.pk).exists()
        contest.trip = old_trip if alone else _own_trip(contest)
    contest.full_clean()
    contest.save()
    if contest.trip.name == before.name:
        contest.trip.name = contest.name
        contest.trip.save()
    if old_trip != contest.trip:
        _tidy(old_trip)
    return contest


def shift(moment: datetime, old: ZoneInfo, new: ZoneInfo, days: timedelta) -> datetime:
    """The same wall-clock time so many days later, on the new clock.

    A wall time that the new day skips (clocks go forward) lands just after the gap.
    """
    wall = moment.astimezone(old).replace(tzinfo=None) + days
    return wall.replace(tzinfo=new).astimezone(ZoneInfo("UTC"))


def _follow(contest: Contest, before: Contest, name: str, days: timedelta) -> None:
    """Take one of the contest's own moments along, unless it was typed anew."""
    old, now = getattr(before, name), getattr(contest, name)
    if old is None or now is None:
        return
    if now.astimezone(contest.zone).replace(tzinfo=None) == old.astimezone(before.zone).replace(
        tzinfo=None
    ):
        setattr(contest, name, shift(old, before.zone, contest.zone, days))


@transaction.atomic
def delete_contest(*, contest: Contest) -> None:
    """Take a contest away with its entries and tasks, and its trip if nothing else hangs on it."""
    trip = contest.trip
    contest.delete()
    _tidy(trip)


@transaction.atomic
def mark_cooked(*, contest: Contest, by: User) -> None:
    """Scores came in: the contest was cooked. One that was called off stays as it is."""
    if contest.state == Contest.State.COOKED or contest.is_off:
        return
    contest.claim(seen=contest.version, by=by)
    contest.state = Contest.State.COOKED
    contest.save()


def _own_trip(contest: Contest) -> Trip:
    trip = Trip(team=contest.team, name=contest.name)
    trip.full_clean()
    trip.save()
    return trip


def _tidy(trip: Trip) -> None:
    """Take an empty trip away; one that a contest or a packing list hangs on stays."""
    relations: Any = trip._meta.related_objects
    for relation in relations:
        rows = relation.related_model._base_manager.filter(**{relation.field.name: trip})
        if rows.exists():
            return
    trip.delete()
