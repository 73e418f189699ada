"""An invitation gives one place, once, to whoever opens it, never above its giver's own."""

from datetime import timedelta

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.urls import reverse
from django.utils import timezone

from teamops.teams import actions
from teamops.teams.models import Invitation, Membership, hash_token
from teamops.teams.roles import Role
from tests.factories.teams import MembershipFactory, UserFactory


def token_of(url: str) -> str:
    return url.rstrip("/").rpartition("/")[2]


@pytest.fixture
def url(team, owner) -> str:
    return actions.invite(team=team, role=Role.HELPER, note="Sam", by=owner.user)


def test_the_link_is_on_the_public_address_and_only_its_hash_is_kept(settings, team, owner):
    settings.PUBLIC_URL = "https://cooks.example.test"
    url = actions.invite(team=team, role=Role.COOK, by=owner.user)
    assert url.startswith("https://cooks.example.test/join/")
    row = Invitation.objects.get()
    assert row.token_hash == hash_token(token_of(url))
    assert token_of(url) not in str(vars(row))
    assert timedelta(days=13) < row.expires_at - timezone.now() <= timedelta(days=14)


@pytest.mark.parametrize("role", [Role.READER, Role.HELPER, Role.COOK])
def test_only_an_owner_invites(team, role):
    giver = MembershipFactory(team=team, role=role)
    with pytest.raises(PermissionDenied):
        actions.invite(team=team, role=Role.READER, by=giver.user)


def test_a_stranger_invites_nobody(team, stranger):
    with pytest.raises(PermissionDenied):
        actions.invite(team=team, role=Role.READER, by=stranger.user)


def test_two_links_are_two_places(team, owner):
    for _ in range(2):
        url = actions.invite(team=team, role=Role.COOK, by=owner.user)
        actions.accept_invitation(token=token_of(url), by=UserFactory())
    assert team.memberships.count() == 3


def test_accepting_gives_the_role_and_says_who(team, url):
    user = UserFactory()
    assert actions.accept_invitation(token=token_of(url), by=user) == team
    assert Membership.objects.get(user=user).role == Role.HELPER
    assert Invitation.objects.get().used_by == user


def test_the_same_person_pressing_twice_is_in_once(team, url):
    user = UserFactory()
    for _ in range(2):
        assert actions.accept_invitation(token=token_of(url), by=user) == team
    assert Membership.objects.filter(user=user).count() == 1


def test_the_second_person_is_refused(url):
    actions.accept_invitation(token=token_of(url), by=UserFactory())
    with pytest.raises(ValidationError, match="used already"):
        actions.accept_invitation(token=token_of(url), by=UserFactory())


def test_a_press_lost_by_a_hair_is_refused(url, monkeypatch):
    """Both found the link free; one conditional update lets one of them have it."""
    late = Invitation.find(token_of(url))
    actions.accept_invitation(token=token_of(url), by=UserFactory())
    monkeypatch.setattr(Invitation, "find", lambda token: late)
    with pytest.raises(ValidationError):
        actions.accept_invitation(token=token_of(url), by=UserFactory())


def test_a_member_keeps_their_role_and_the_link_stays_for_another(team, owner, url):
    assert actions.accept_invitation(token=token_of(url), by=owner.user) == team
    owner.refresh_from_db()
    assert owner.role == Role.OWNER
    assert actions.accept_invitation(token=token_of(url), by=UserFactory()) == team


def test_somebody_taken_out_cannot_come_back_by_the_old_link(owner, url):
    user = UserFactory()
    actions.accept_invitation(token=token_of(url), by=user)
    actions.remove_member(membership=Membership.objects.get(user=user), by=owner.user)
    with pytest.raises(ValidationError):
        actions.accept_invitation(token=token_of(url), by=user)


def test_an_old_link_is_refused(url):
    Invitation.objects.update(expires_at=timezone.now())
    with pytest.raises(ValidationError):
        actions.accept_invitation(token=token_of(url), by=UserFactory())


def test_a_withdrawn_link_is_refused_and_withdrawing_twice_is_once(owner, url):
    row = Invitation.objects.get()
    for _ in range(2):
        actions.revoke_invitation(invitation=row, by=owner.user)
    with pytest.raises(ValidationError):
        actions.accept_invitation(token=token_of(url), by=UserFactory())


def test_a_used_link_cannot_be_withdrawn(owner, url):
    actions.accept_invitation(token=token_of(url), by=UserFactory())
    actions.revoke_invitation(invitation=Invitation.objects.get(), by=owner.user)
    assert Invitation.objects.get().used_by


def test_opening_the_link_asks_and_does_not_use_it(client, team, url):
    """A preview in a chat opens links too."""
    for _ in range(2):
        page = client.get(url).content.decode()
        assert "Oak and Ash" in page
        assert reverse("account_signup") in page
    assert Invitation.objects.get().used_at is None


def test_somebody_new_signs_up_and_comes_back_to_the_button(client, team, url):
    path = reverse("teams:join", args=[token_of(url)])
    assert (
        client.post(url)["Location"]
        == f"{reverse('account_login')}?next={path.replace('/', '%2F')}"
    )
    form = {"email": "sam@example.test", "password1": "smoke-and-salt-77", "next": path}
    answer = client.post(reverse("account_signup"), form)
    assert answer["Location"] == path
    assert "Join the team" in client.get(path).content.decode()
    answer = client.post(path)
    assert answer["Location"] == reverse("insight:show_season", args=[team.slug])
    assert team.memberships.filter(user__email="sam@example.test").exists()


def test_a_member_who_opens_a_link_is_led_in(client, owner, team, url):
    client.force_login(owner.user)
    assert client.get(url)["Location"] == reverse("insight:show_season", args=[team.slug])


@pytest.mark.parametrize(
    "token", ["nothing", "%00", "x" * 500, "🔥"], ids=["word", "NUL", "long", "emoji"]
)
@pytest.mark.parametrize("method", ["get", "post"])
def test_a_link_that_never_was_says_so(client, db, token, method):
    client.force_login(UserFactory())
    answer = getattr(client, method)(f"/join/{token}/")
    assert answer.status_code == 410
    assert "spent" in answer.content.decode()
