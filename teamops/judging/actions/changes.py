"""What the team does differently: from a day on, and contest by contest."""

from collections.abc import Mapping
from uuid import UUID

from django.core.exceptions import ValidationError
from django.db import transaction
from simple_history.utils import bulk_create_with_history, bulk_update_with_history

from teamops.contests.models import Contest
from teamops.judging.history import (
    bulk_delete_with_history,
    delete_with_history,
    save_with_history,
)
from teamops.judging.models import Change, ChangeUse
from teamops.judging.queries.changes import how_it_stands, uses_of
from teamops.teams.models import User
from teamops.teams.versions import Conflict

Uses = Mapping[UUID, bool | None]  # by contest: on, off, or as the change's days say


@transaction.atomic
def save_change(*, change: Change, by: User, uses: Uses | None = None, seen: str = "") -> Change:
    """
    Keep a new or altered change, and what is said of the contests in `uses`, or nothing.

    Raises Conflict if somebody altered it since it stood as `seen`, where that is given; saying the
    same once more does no harm. Refuses (ValidationError) a change that ends before it starts, and
    a category or a contest of another team.
    """
    change.full_clean()
    if change.category is not None and change.category.team_id != change.team_id:
        raise ValidationError({"category": "That is not one of your categories."})
    current = _locked(change, uses or {}, seen)
    if current is None or how_it_stands(current, {}) != how_it_stands(change, {}):
        save_with_history(change, by=by)
    _keep_uses(change, uses or {}, by)
    return change


@transaction.atomic
def keep_plan(*, change: Change, plan: Mapping[UUID, bool], by: User, seen: str = "") -> None:
    """
    Keep at which contests a change is to be on and off; keeping it twice does no harm.

    Raises Conflict if somebody altered the change since it stood as `seen`. Refuses
    (ValidationError) a contest of another team.
    """
    _locked(change, plan, seen)
    _keep_uses(change, plan, by)


@transaction.atomic
def delete_change(*, change: Change, by: User) -> None:
    """Take a change away, with what is said of its contests; its history stays."""
    bulk_delete_with_history(list(change.uses.all()), ChangeUse, by=by)
    delete_with_history(change, by=by)


def _locked(change: Change, uses: Uses, seen: str) -> Change | None:
    """The change as it is kept, with nobody else writing it; None where it is new, or gone."""
    current = Change.objects.select_for_update(of=("self",)).filter(pk=change.pk).first()
    if current is None or not seen:
        return current
    there = uses_of(current)
    stands = how_it_stands(current, there)
    if stands not in (seen, how_it_stands(change, _with(there, uses))):
        raise Conflict(current)
    return current


def _with(there: Mapping[UUID, bool], uses: Uses) -> dict[UUID, bool]:
    """What is said of each contest once these are kept."""
    both = dict(there) | dict(uses)
    return {contest: on for contest, on in both.items() if on is not None}


def _keep_uses(change: Change, uses: Uses, by: User) -> None:
    if not uses:
        return
    rows = {row.contest_id: row for row in change.uses.filter(contest__in=list(uses))}
    fresh = [contest for contest, on in uses.items() if on is not None and contest not in rows]
    ours = Contest.objects.for_team(change.team).filter(pk__in=fresh).count() if fresh else 0
    if ours < len(fresh):
        raise ValidationError("One of these contests is not yours, or is gone.")
    gone = [row for contest, row in rows.items() if uses[contest] is None]
    turned = []
    for contest, row in rows.items():
        on = uses[contest]
        if on is not None and on != row.on:
            row.on = on
            turned.append(row)
    bulk_delete_with_history(gone, ChangeUse, by=by)
    if turned:
        bulk_update_with_history(turned, ChangeUse, ["on"], default_user=by)
    if fresh:
        new = [ChangeUse(change=change, contest_id=key, on=bool(uses[key])) for key in fresh]
        bulk_create_with_history(new, ChangeUse, default_user=by)
