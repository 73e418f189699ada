"""What is done to boxes."""

from collections.abc import Mapping
from uuid import UUID

from django.db import transaction

from teamops.contests.actions.anchors import move_with_box
from teamops.contests.actions.photos import forget_photos
from teamops.contests.models import Category, Contest, Entry
from teamops.contests.queries.turn_in import is_scored
from teamops.teams.models import Team, User


@transaction.atomic
def save_entry(
    *, entry: Entry, category_name: str, ancillary: bool, seen: int | None, by: User
) -> Entry:
    """Keep a new or changed entry; its category is found by name, or made.

    Raises Conflict if someone changed the entry since version `seen`, ValidationError if another
    box in the category has its blind number.
    """
    if not entry._state.adding:
        entry.claim(seen=seen if seen is not None else entry.version, by=by)
    entry.changed_by = by
    entry.category = _category(entry.contest.team, category_name, ancillary=ancillary)
    entry.full_clean()
    entry.save()
    move_with_box(entry)
    return entry


@transaction.atomic
def set_outcomes(*, contest: Contest, outcomes: Mapping[UUID, str], by: User) -> int:
    """Say what became of the contest's boxes, each with its history; how many it changed.

    A box that a total may hang on is left alone: the scores decide it.
    """
    changed = 0
    for entry in contest.entries.select_for_update(of=("self",)).order_by("pk"):
        state = outcomes.get(entry.pk, entry.state)
        if state == entry.state or is_scored(entry):
            continue
        entry.claim(seen=entry.version, by=by)
        entry.state = state
        entry.full_clean()
        entry.save()
        changed += 1
    return changed


def _category(team: Team, name: str, *, ancillary: bool) -> Category:
    category = Category.objects.for_team(team).filter(name=name).first()
    if category is None:
        category = Category(team=team, name=name, ancillary=ancillary)
    category.ancillary = ancillary
    category.full_clean()
    category.save()
    return category


@transaction.atomic
def delete_entry(*, entry: Entry) -> None:
    """Take an entry away with its sheets and steps."""
    forget_photos(entry=entry)
    entry.delete()
