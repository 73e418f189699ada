"""What the team page and the account pages show."""

from dataclasses import dataclass
from datetime import datetime

from django.utils import timezone

from teamops.teams.models import Invitation, Membership, Team, User
from teamops.teams.roles import Role


@dataclass(frozen=True, slots=True)
class PersonRow:
    """One member, in words ready to print; `roles` are what an owner may make of them."""

    membership_id: int
    name: str
    email: str
    role: str
    role_name: str
    is_you: bool
    since: datetime


@dataclass(frozen=True, slots=True)
class InvitationRow:
    """One link that waits for somebody."""

    invitation_id: int
    note: str
    role_name: str
    until: datetime


@dataclass(frozen=True, slots=True)
class TeamPage:
    """The people of a team and those it waits for."""

    people: tuple[PersonRow, ...]
    invitations: tuple[InvitationRow, ...]


def team_page(team: Team, viewer: User) -> TeamPage:
    """The team's people by name and its open invitations; two queries."""
    places = Membership.objects.for_team(team).by_name()
    return TeamPage(
        people=tuple(_person(place, viewer) for place in places),
        invitations=tuple(map(_invitation, open_invitations(team))),
    )


def _person(place: Membership, viewer: User) -> PersonRow:
    return PersonRow(
        membership_id=place.pk,
        name=str(place.user),
        email=place.user.email,
        role=place.role,
        role_name=place.get_role_display(),
        is_you=place.user_id == viewer.pk,
        since=place.since,
    )


def open_invitations(team: Team) -> list[Invitation]:
    """Links that still work, soonest to end first."""
    rows = Invitation.objects.for_team(team).filter(used_at=None, expires_at__gt=timezone.now())
    return list(rows.order_by("expires_at", "pk"))


def _invitation(row: Invitation) -> InvitationRow:
    return InvitationRow(row.pk, row.note, row.get_role_display(), row.expires_at)


def teams_of(user: User) -> list[Team]:
    """A person's teams by name; sorted here, since the two databases sort letters differently."""
    return sorted(Team.objects.of(user), key=lambda team: (team.name.casefold(), team.pk))


def teams_alone(user: User) -> list[Team]:
    """Teams with nobody else in them: they go when the account closes."""
    others = Membership.objects.exclude(user=user).filter(team__memberships__user=user)
    shared = set(others.values_list("team_id", flat=True))
    return [team for team in teams_of(user) if team.pk not in shared]


def role_words() -> tuple[tuple[str, str], ...]:
    """Each role's name and what it may do, the least first."""
    return tuple((role.label, role.words) for role in Role)
