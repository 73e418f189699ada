"""Rulebooks kept, changed, put away, deleted."""

from collections.abc import Sequence

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import ProtectedError, RestrictedError
from django.utils import timezone

from teamops.rules.checks import check_book
from teamops.rules.files import fingerprint
from teamops.rules.models import Criterion, Rulebook
from teamops.teams.models import Team, User
from teamops.teams.versions import Conflict

SCALE = ("order", "name", "weight", "least", "most", "step", "panel")


@transaction.atomic
def add_rulebook(
    *,
    rulebook: Rulebook,
    criteria: Sequence[Criterion],
    team: Team,
    by: User,
    follows: Rulebook | None = None,
) -> Rulebook:
    """Keep a new rulebook of the team's with its criteria, in their order.

    One that follows another becomes an edition in its family. Refuses (ValidationError) what
    contradicts itself and an edition the team has already.
    """
    rulebook.team, rulebook.frozen_at, rulebook.put_away_at = team, None, None
    rulebook.follows = follows
    if follows is not None:
        rulebook.family = follows.family
    _keep(rulebook, criteria, by)
    return rulebook


@transaction.atomic
def change_rulebook(
    *, rulebook: Rulebook, criteria: Sequence[Criterion], seen: str, by: User
) -> Rulebook:
    """Keep a changed rulebook; its criteria are known again by their keys.

    Refuses (ValidationError) an edition that sheets are written under: that needs a new one.
    Raises Conflict if someone changed it since `seen`, its fingerprint when it was read.
    """
    rows = Rulebook.objects.select_for_update(of=("self",))
    current = rows.filter(team=rulebook.team).get(pk=rulebook.pk)
    if current.frozen_at:
        raise ValidationError(
            "Score sheets are written under this edition, so it stays as it is. "
            "Make a new edition for what has changed."
        )
    if fingerprint(current) != seen:
        raise Conflict(current)
    _keep(rulebook, criteria, by)
    return rulebook


def delete_rulebook(*, rulebook: Rulebook, by: User) -> None:
    """Take a rulebook away that nothing stands on; refuses (ValidationError) any other."""
    used = "It is used, so it stays; put it away instead, and it is no longer offered."
    if rulebook.frozen_at or rulebook.team_id is None:
        raise ValidationError(used)
    try:
        with transaction.atomic():
            rulebook.delete()
    except (ProtectedError, RestrictedError) as stands_on_it:
        raise ValidationError(used) from stands_on_it


def put_away(*, rulebook: Rulebook, by: User) -> None:
    """No longer offer it; saying it again keeps the first moment."""
    if rulebook.put_away_at is None:
        rulebook.put_away_at = timezone.now()
        rulebook.save(update_fields=["put_away_at"])


def take_out(*, rulebook: Rulebook, by: User) -> None:
    """Offer it again."""
    if rulebook.put_away_at is not None:
        rulebook.put_away_at = None
        rulebook.save(update_fields=["put_away_at"])


def _keep(rulebook: Rulebook, criteria: Sequence[Criterion], by: User) -> None:
    """Check and write a rulebook and exactly these criteria."""
    check_book(rulebook, criteria)
    rulebook.full_clean()
    rulebook._history_user = by  # type: ignore[attr-defined]
    rulebook.save()
    stored = {row.key: row for row in rulebook.criteria.all()}
    for order, given in enumerate(criteria, start=1):
        row = stored.pop(given.key, given)
        given.order = order
        for name in SCALE:
            setattr(row, name, getattr(given, name))
        row.rulebook = rulebook
        row.full_clean()
        row._history_user = by  # type: ignore[attr-defined]
        row.save()
    _take_out_criteria(list(stored.values()), by)
    rulebook.__dict__.get("_prefetched_objects_cache", {}).pop("criteria", None)


def _take_out_criteria(rows: Sequence[Criterion], by: User) -> None:
    for row in rows:
        row._history_user = by  # type: ignore[attr-defined]
        try:
            row.delete()
        except (ProtectedError, RestrictedError) as used:
            words = f"Marks are written for {row.name}, so it cannot be left out."
            raise ValidationError({"criteria": words}) from used
