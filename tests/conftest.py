"""The fixed cast of every view test: owner, cook, helper, reader, stranger."""

import pytest

from teamops.teams.models import Membership, Team
from teamops.teams.roles import Role
from tests.factories.teams import MembershipFactory, TeamFactory


@pytest.fixture
def team(db) -> Team:
    return TeamFactory(name="Oak and Ash", slug="oak-and-ash")


def _member(role: Role):
    @pytest.fixture
    def member(team: Team) -> Membership:
        return MembershipFactory(team=team, role=role)

    return member


owner, cook, helper, reader = map(_member, (Role.OWNER, Role.COOK, Role.HELPER, Role.READER))


@pytest.fixture
def member(owner: Membership) -> Membership:
    """Somebody of the team who may do everything."""
    return owner


@pytest.fixture
def stranger(db) -> Membership:
    """An owner of another team."""
    return MembershipFactory(role=Role.OWNER)


@pytest.fixture
def signed_in(client, member: Membership):
    """A browser in which the owner is signed in."""
    client.force_login(member.user)
    return client
