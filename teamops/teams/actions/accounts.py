"""A person's own account."""

from allauth.account.models import EmailAddress
from allauth.mfa.models import Authenticator
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Count, Q

from teamops.teams.actions.photos import delete_photos
from teamops.teams.models import Invitation, Membership, SignInLink, Team, User
from teamops.teams.roles import Role


@transaction.atomic
def change_name(*, user: User, name: str) -> None:
    """Change the name that team-mates see."""
    user.name = name
    user.full_clean(exclude=["password"])
    user.save(update_fields=["name"])
    transaction.on_commit(Team.objects.of(user).restamp)


@transaction.atomic
def close_account(*, user: User, typed: str) -> None:
    """
    Empty the account for good, and keep its row, so that who did what and when stays true.

    Name, address, password, passkeys, codes and places in teams go; a team with nobody else in it
    goes too. Refuses (ValidationError) unless the address was typed out, and while other people's
    team would lose its last owner.
    """
    if typed.strip().lower() != user.email.lower():
        raise ValidationError("That is not your address. Type the one you sign in with.")
    # held in one order, so that two owners who both go cannot leave a team to nobody
    teams = list(Team.objects.of(user).select_for_update(of=("self",)).order_by("pk"))
    orphans, alone = _left_behind(user, teams)
    if orphans:
        names = ", ".join(str(team) for team in orphans)
        raise ValidationError(
            f"You are the last owner of {names}. Make someone else an owner first."
        )
    for team in alone:
        delete_photos(photos=team.photos.all())
        team.delete()
    left = [team.pk for team in teams if team not in alone]
    _empty(user)
    transaction.on_commit(Team.objects.filter(pk__in=left).restamp)


def _left_behind(user: User, teams: list[Team]) -> tuple[list[Team], list[Team]]:
    """Teams that would have people but no owner, and teams that would have nobody."""
    counted = Team.objects.filter(pk__in=[team.pk for team in teams]).annotate(
        others=Count("memberships", filter=~Q(memberships__user=user)),
        owners=Count(
            "memberships", filter=Q(memberships__role=Role.OWNER) & ~Q(memberships__user=user)
        ),
    )
    orphans: list[Team] = []
    alone: list[Team] = []
    for team in counted.order_by("pk"):
        if not team.others:
            alone.append(team)
        elif not team.owners:
            orphans.append(team)
    return orphans, alone


def _empty(user: User) -> None:
    Invitation.objects.filter(invited_by=user, used_at=None).delete()
    Membership.objects.filter(user=user).delete()
    SignInLink.objects.filter(user=user).delete()
    EmailAddress.objects.filter(user=user).delete()
    Authenticator.objects.filter(user=user).delete()
    user.name = ""
    user.email = f"closed-{user.pk}@closed.invalid"
    user.is_active = False
    user.last_login = None
    user.set_unusable_password()
    user.full_clean(exclude=["password"])
    user.save()
