"""What is done to boxes."""

from django.db import transaction

from teamops.contests.models import Category, Entry
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
    return entry


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
    entry.delete()
