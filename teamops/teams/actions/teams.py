"""A team begins, changes and ends."""

from collections.abc import Mapping
from datetime import timedelta
from typing import Any

from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.utils import timezone

from teamops.teams.actions.photos import delete_photos
from teamops.teams.models import Membership, Team, User
from teamops.teams.roles import Role
from teamops.teams.slugs import free_slug, slug_of

SAME_PRESS = timedelta(minutes=1)
TRIES = 5


@transaction.atomic
def create_team(*, name: str, by: User) -> Team:
    """
    Make a team with `by` as its owner; it needs only a name.

    The word in its address is made from the name, once: a later change of name leaves addresses
    and printed codes as they are. The same name from the same person within a minute is the same
    press twice, and gives the team of the first.
    """
    User.objects.select_for_update().get(pk=by.pk)  # one press at a time
    recent = Team.objects.of(by).filter(name=name, created_at__gt=timezone.now() - SAME_PRESS)
    if made := recent.first():
        return made
    team = Team(name=name)
    team.full_clean(exclude=["slug"])
    _save_with_free_slug(team)
    Membership.objects.create(team=team, user=by, role=Role.OWNER)
    return team


def _save_with_free_slug(team: Team) -> None:
    word = slug_of(team.name)
    for attempt in range(TRIES):
        used = Team.objects.filter(slug__startswith=word).values_list("slug", flat=True)
        team.slug = free_slug(word, set(used))
        try:
            with transaction.atomic():
                team.save()
        except IntegrityError:  # another team took the word between the look and the write
            if attempt == TRIES - 1:
                raise
        else:
            return


@transaction.atomic
def change_team(*, team: Team, settings: Mapping[str, Any], by: User) -> None:
    """Change what the settings form asks: name, home place, zone, units, currency, paper."""
    for name, value in settings.items():
        setattr(team, name, value)
    team.full_clean(exclude=["slug"])
    team.save(update_fields=list(settings))


@transaction.atomic
def delete_team(*, team: Team, typed: str, by: User) -> None:
    """
    Delete the team and everything in it, for good.

    Refuses (ValidationError) unless its name was typed out.
    """
    if typed.strip() != team.name.strip():
        raise ValidationError("That is not the team’s name. Type it just as it is written above.")
    delete_photos(photos=team.photos.all())
    team.delete()
