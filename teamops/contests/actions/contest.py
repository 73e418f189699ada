"""What is done to trips and contests; each action is whole or not at all."""

from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.db import transaction

from teamops.contests.actions.anchors import NO_DAYS, move_anchored
from teamops.contests.actions.payments import keep_fee_paid
from teamops.contests.actions.photos import forget_photos
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
    if contest.state == Contest.State.POSTPONED:
        contest.was_held_on = contest.was_held_on or contest.held_on
    contest.full_clean()
    contest.save()
    keep_fee_paid(contest=contest)
    return contest


@transaction.atomic
def change_contest(*, contest: Contest, seen: int, by: User) -> Contest:
    """Keep a changed contest; another day or another clock takes every window along.

    Windows and moments keep their wall clock: 1:00 pm stays 1:00 pm. A moment that was typed anew
    is left as typed. To-dos that hang on its days move along, and "fee paid" is worked out anew.
    Raises Conflict if someone changed the contest since version `seen`.
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
    _settle_state(contest, before)
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
    move_anchored(contest, days if old_trip == contest.trip else NO_DAYS)
    keep_fee_paid(contest=contest)
    return contest


def _settle_state(contest: Contest, before: Contest) -> None:
    """A postponed contest remembers its day; one that is on again forgets why it was off."""
    if contest.state == Contest.State.POSTPONED:
        contest.was_held_on = contest.was_held_on or before.held_on
    elif not contest.is_off and before.is_off:
        if contest.was_held_on == contest.held_on:
            contest.was_held_on = None
        if contest.was_held_on is None and contest.state_why == before.state_why:
            contest.state_why = ""


@transaction.atomic
def postpone_contest(
    *, contest: Contest, to: date | None, why: str, seen: int, by: User
) -> Contest:
    """Move a contest to another day, with everything that hangs on it; `to` None: not known yet.

    The day it was to be on stays in `was_held_on`. A deadline after an earlier day comes to it. It
    is on again with a new day, in the state it had; without one it counts as off. Raises Conflict
    if someone changed the contest since version `seen`.
    """
    contest.state_why = why
    if to is None:
        contest.was_held_on = contest.held_on
        contest.state = Contest.State.POSTPONED
        return change_contest(contest=contest, seen=seen, by=by)
    first = contest.was_held_on
    if contest.is_off:
        contest.state = state_before(contest)
        contest.was_held_on = first or contest.held_on
    else:
        contest.was_held_on = contest.held_on
    contest.held_on = to
    if contest.deadline_on and contest.deadline_on > to:
        contest.deadline_on = to
    if to in (first, contest.was_held_on):  # back on the day it was to be on
        contest.was_held_on = None
    return change_contest(contest=contest, seen=seen, by=by)


@transaction.atomic
def call_off_contest(*, contest: Contest, state: str, why: str, seen: int, by: User) -> Contest:
    """Say that a contest was cancelled, or that we withdrew, and why; choosing a state undoes it.

    Raises Conflict if someone changed the contest since version `seen`.
    """
    contest.state, contest.state_why = state, why
    return change_contest(contest=contest, seen=seen, by=by)


def state_before(contest: Contest) -> str:
    """The last state in which it was on; entered, if nobody knows."""
    past = Contest.history.filter(id=contest.pk).exclude(state__in=Contest.OFF)
    kept = past.order_by("-history_date", "-history_id").values_list("state", flat=True).first()
    return kept or Contest.State.ENTERED


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
    forget_photos(contest=contest)
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
