"""What hangs on a contest's days moves with them."""

from datetime import timedelta

from django.db import transaction

from teamops.contests.models import Anchor, Contest, Entry, Task, Trip
from teamops.contests.queries.anchors import anchor_days, days_from, turn_in_day

NO_DAYS = timedelta(0)


@transaction.atomic
def move_anchored(contest: Contest, days: timedelta = NO_DAYS) -> None:
    """Work out anew the day of every to-do that hangs on leaving, arriving, turning in or home.

    `days` says how far the contest itself moved: a trip that is made for it alone moves as far,
    where its own days are known.
    """
    if days:
        _move_trip(contest, days)
    there = anchor_days(contest)
    moved = []
    for task in contest.tasks.exclude(anchor="").select_related("entry"):
        day = there[task.anchor]
        if task.entry and task.anchor == Anchor.TURN_IN:
            task.entry.contest = contest
            day = turn_in_day(task.entry) or day
        due_on = days_from(day, task.offset_days or 0)
        if due_on != task.due_on:
            task.due_on = due_on
            moved.append(task)
    Task.objects.bulk_update(moved, ["due_on"])


def move_with_box(entry: Entry) -> None:
    """What is counted in days from this box's turn-in moves with it; steps count back anyway."""
    day = turn_in_day(entry)
    if day is None:
        return
    for task in entry.tasks.filter(anchor=Anchor.TURN_IN, offset_days__isnull=False):
        due_on = days_from(day, task.offset_days or 0)
        if task.due_on != due_on:
            task.due_on = due_on
            task.save(update_fields=["due_on"])


def _move_trip(contest: Contest, days: timedelta) -> None:
    trip = contest.trip
    if trip.contests.exclude(pk=contest.pk).exists():
        return
    for name in ("leaves_on", "home_on"):
        if day := getattr(trip, name):
            setattr(trip, name, days_from(day, days.days))
    trip.save()


@transaction.atomic
def change_trip(*, trip: Trip) -> Trip:
    """Keep a trip's name and days; what hangs on them in any of its contests moves along."""
    trip.full_clean()
    trip.save()
    for contest in trip.contests.all():
        contest.trip = trip
        move_anchored(contest)
    return trip
