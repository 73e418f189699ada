"""Places in a team: another role, going, being sent off. A team never loses its last owner."""

from django.core.exceptions import ValidationError
from django.db import transaction

from teamops.teams.models import Invitation, Membership, Team, User
from teamops.teams.roles import Permission, Role


@transaction.atomic
def change_role(*, membership: Membership, role: Role, by: User) -> None:
    """
    Give a member another role; the same role again changes nothing.

    Refuses (ValidationError) to leave the team without an owner.
    """
    place = _locked(membership)
    if place.role == role:
        return
    _keep_an_owner(place)
    place.role = role
    place.full_clean()
    place.save(update_fields=["role"])
    if not place.may(Permission.MANAGE):
        _withdraw_invitations(place)


@transaction.atomic
def remove_member(*, membership: Membership, by: User) -> None:
    """
    Take a member out of the team; what they did stays, under their name.

    Refuses (ValidationError) to leave the team without an owner.
    """
    place = _locked(membership)
    _keep_an_owner(place)
    _withdraw_invitations(place)
    place.delete()


def leave_team(*, membership: Membership) -> None:
    """
    Go out of the team by one's own wish.

    Refuses (ValidationError) to leave the team without an owner.
    """
    remove_member(membership=membership, by=membership.user)


def _locked(membership: Membership) -> Membership:
    """Read the place anew, with its team held: two owners cannot both go at once."""
    Team.objects.select_for_update().get(pk=membership.team_id)
    return Membership.objects.select_related("team", "user").get(pk=membership.pk)


def _keep_an_owner(place: Membership) -> None:
    if place.role != Role.OWNER:
        return
    others = place.team.memberships.filter(role=Role.OWNER).exclude(pk=place.pk)
    if not others.exists():
        raise ValidationError(
            f"{place.user} is the last owner of {place.team}. Make someone else an owner first."
        )


def _withdraw_invitations(place: Membership) -> None:
    """Links given by somebody who may not give them any more stop working."""
    Invitation.objects.for_team(place.team).filter(invited_by=place.user, used_at=None).delete()
