"""Links that give a place in a team."""

from datetime import timedelta

from django.conf import settings
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction
from django.urls import reverse

from teamops.teams.models import Invitation, Membership, Team, User, hash_token
from teamops.teams.roles import Permission, Role

LASTS = timedelta(days=14)
SPENT = "This invitation was used already, withdrawn, or has expired. Ask the team for a new one."


@transaction.atomic
def invite(*, team: Team, role: Role, note: str = "", by: User) -> str:
    """
    Make a link that gives one person a place in the team within 14 days; it is readable only now.

    Refuses (PermissionDenied) who may not manage people, and any role above the giver's own.
    """
    giver = Membership.objects.for_team(team).filter(user=by).first()
    if giver is None or not giver.may(Permission.MANAGE) or not giver.may(Role(role).permission):
        raise PermissionDenied(f"Only an owner of {team} may invite people.")
    invitation = Invitation(team=team, role=role, note=note, invited_by=by)
    token = invitation.renew(LASTS)
    invitation.full_clean()
    invitation.save()
    return settings.PUBLIC_URL + reverse("teams:join", args=[token])


@transaction.atomic
def accept_invitation(*, token: str, by: User) -> Team:
    """
    Take the place that the link gives, once.

    A member who opens it keeps their place and leaves the link for someone else; the same press
    twice is once. Refuses (ValidationError) a link that is spent, withdrawn or too old.
    """
    invitation = Invitation.find(token)
    if invitation is None:
        return _joined_before(token, by)
    if Membership.objects.for_team(invitation.team).filter(user=by).exists():
        return invitation.team
    if not invitation.take():  # another press was first
        return _joined_before(token, by)
    Invitation.objects.filter(pk=invitation.pk).update(used_by=by)
    place = Membership(team=invitation.team, user=by, role=invitation.role)
    place.full_clean()
    place.save()
    return invitation.team


def _joined_before(token: str, user: User) -> Team:
    """The team of a link that this very person used, if they are still in it."""
    spent = Invitation.objects.select_related("team").filter(token_hash=hash_token(token))
    invitation = spent.filter(used_by=user, team__memberships__user=user).first()
    if invitation is None:
        raise ValidationError(SPENT)
    return invitation.team


def revoke_invitation(*, invitation: Invitation, by: User) -> None:
    """Withdraw a link that nobody used yet; one that was used stays as it happened."""
    Invitation.objects.filter(pk=invitation.pk, used_at=None).delete()
