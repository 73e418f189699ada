"""Roles, going and being sent off: a team never loses its last owner."""

import pytest
from django.core.exceptions import ValidationError

from teamops.teams import actions
from teamops.teams.models import Invitation, Membership
from teamops.teams.roles import Permission, Role
from tests.factories.teams import InvitationFactory, MembershipFactory

LAST = "is the last owner of Oak and Ash. Make someone else an owner first."


def place(membership: Membership) -> Membership | None:
    return Membership.objects.filter(pk=membership.pk).first()


@pytest.mark.parametrize("role", [Role.READER, Role.HELPER, Role.COOK])
def test_the_last_owner_cannot_be_made_less(owner, cook, role):
    with pytest.raises(ValidationError, match=LAST):
        actions.change_role(membership=owner, role=role, by=owner.user)
    assert place(owner).role == Role.OWNER


def test_the_last_owner_cannot_be_taken_out_or_leave(owner, cook):
    with pytest.raises(ValidationError, match=LAST):
        actions.remove_member(membership=owner, by=owner.user)
    with pytest.raises(ValidationError, match=LAST):
        actions.leave_team(membership=owner)
    assert place(owner)


def test_one_of_two_owners_may_go_and_then_the_other_may_not(team, owner):
    second = MembershipFactory(team=team, role=Role.OWNER)
    actions.leave_team(membership=owner)
    with pytest.raises(ValidationError):
        actions.leave_team(membership=second)
    assert place(owner) is None


def test_an_old_page_does_not_fool_the_rule(team, owner):
    """Both pages were open while there were two owners; the second press sees there is one."""
    second = MembershipFactory(team=team, role=Role.OWNER)
    stale = Membership.objects.get(pk=owner.pk)
    actions.change_role(membership=second, role=Role.COOK, by=owner.user)
    with pytest.raises(ValidationError):
        actions.remove_member(membership=stale, by=second.user)


def test_a_role_said_twice_is_once(owner, cook):
    for _ in range(2):
        actions.change_role(membership=cook, role=Role.HELPER, by=owner.user)
    assert place(cook).role == Role.HELPER


def test_a_former_owners_invitations_stop_working(team, owner):
    second = MembershipFactory(team=team, role=Role.OWNER)
    used = InvitationFactory(team=team, invited_by=second.user, used_by=owner.user)
    used.take()
    theirs = InvitationFactory(team=team, invited_by=second.user)
    ours = InvitationFactory(team=team, invited_by=owner.user)
    elsewhere = InvitationFactory(invited_by=second.user)
    actions.change_role(membership=second, role=Role.COOK, by=owner.user)
    left = set(Invitation.objects.values_list("pk", flat=True))
    assert left == {used.pk, ours.pk, elsewhere.pk}
    assert theirs.pk not in left


@pytest.mark.parametrize(
    ("role", "may"),
    [
        (Role.READER, {Permission.SEE}),
        (Role.HELPER, {Permission.SEE, Permission.LOG}),
        (Role.COOK, {Permission.SEE, Permission.LOG, Permission.PLAN}),
        (Role.OWNER, set(Permission)),
    ],
)
def test_each_role_holds_those_before_it(role, may):
    assert {permission for permission in Permission if role.may(permission)} == may
    assert role.words
