"""The fixed cast of every view test: owner, cook, helper, reader, stranger."""

import traceback

import pytest
from django.db.models import QuerySet

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


@pytest.fixture(autouse=True)
def no_plain_bulk_writes(monkeypatch):
    """Fail any test in which a plain bulk write passes a tracked model's history by."""
    update, bulk_create, bulk_update = QuerySet.update, QuerySet.bulk_create, QuerySet.bulk_update

    def check(rows: QuerySet, names: set[str]) -> None:
        if not hasattr(rows.model, "history") or names <= {"version", "changed_by"}:
            return
        callers = {frame.filename for frame in traceback.extract_stack(limit=8)}
        known = any("simple_history" in name or "factory" in name for name in callers)
        assert known, f"a bulk write on {rows.model.__name__} leaves no history"

    def checked_update(self, **kwargs):
        check(self, set(kwargs))
        return update(self, **kwargs)

    def checked_bulk_create(self, *args, **kwargs):
        check(self, {"rows"})
        return bulk_create(self, *args, **kwargs)

    def checked_bulk_update(self, *args, **kwargs):
        check(self, {"rows"})
        return bulk_update(self, *args, **kwargs)

    monkeypatch.setattr(QuerySet, "update", checked_update)
    monkeypatch.setattr(QuerySet, "bulk_create", checked_bulk_create)
    monkeypatch.setattr(QuerySet, "bulk_update", checked_bulk_update)
