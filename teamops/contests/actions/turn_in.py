"""The turn-in: when by the official clock, by whom, and what the judges made of it."""

from datetime import datetime
from decimal import Decimal

from django.db import transaction

from teamops.contests.models import Entry
from teamops.contests.queries.turn_in import is_scored
from teamops.teams.models import User


@transaction.atomic
def turn_in(*, entry: Entry, at: datetime, by: User) -> Entry:
    """Keep that the box was turned in, `at` by the official clock.

    Saying it again keeps the first who and when. A box put down as not turned in, was; what a
    total hangs on is left to those who keep the scores.
    """
    entry = _locked(entry)
    if entry.turned_in_at is not None:
        return entry
    entry.turned_in_at, entry.turned_in_by = at.replace(microsecond=0), by
    if entry.state == Entry.State.NOT_TURNED_IN and not is_scored(entry):
        entry.state = Entry.State.USUAL
    return _keep(entry, by=by)


@transaction.atomic
def take_back_turn_in(*, entry: Entry, by: User) -> Entry:
    """The press was a mistake: the box is still here. What was written about it goes as well."""
    entry = _locked(entry)
    if entry.turned_in_at is None:
        return entry
    entry.turned_in_at = entry.turned_in_by = None
    entry.spare_turned_in = False
    if not is_scored(entry):
        entry.late, entry.late_points = Entry.Late.UNKNOWN, None
    return _keep(entry, by=by)


@transaction.atomic
def set_late(*, entry: Entry, late: str, points: Decimal | None, by: User) -> Entry:
    """Keep what the judges made of a late box; points only where it was docked."""
    entry = _locked(entry)
    points = points if late == Entry.Late.DOCKED else None
    if (entry.late, entry.late_points) == (late, points):
        return entry
    entry.late, entry.late_points = late, points
    return _keep(entry, by=by)


@transaction.atomic
def change_entry_of_the_day(*, entry: Entry, seen: int, by: User) -> Entry:
    """Keep what was typed about a turn-in, or about what became of the box.

    Raises Conflict if somebody changed the entry since version `seen`.
    """
    if entry.late != Entry.Late.DOCKED:
        entry.late_points = None
    return _keep(entry, by=by, seen=seen)


def _locked(entry: Entry) -> Entry:
    """The entry as it is now, with nobody else writing it."""
    rows = Entry.objects.select_for_update(of=("self",)).select_related("contest", "category")
    return rows.get(pk=entry.pk)


def _keep(entry: Entry, *, by: User, seen: int | None = None) -> Entry:
    entry.claim(seen=entry.version if seen is None else seen, by=by)
    entry.full_clean()
    entry.save()
    return entry
