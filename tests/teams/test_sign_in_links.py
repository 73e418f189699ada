"""A sign-in link works once, and stands for the password alone."""

from datetime import timedelta
from io import StringIO

import pytest
from allauth.mfa.totp.internal.auth import TOTP, generate_totp_secret
from django.core.management import CommandError, call_command
from django.urls import reverse
from django.utils import timezone

from teamops.teams import actions
from teamops.teams.models import SignInLink
from tests.factories.teams import UserFactory


@pytest.fixture
def user(db):
    return UserFactory(name="Ada Ash")


@pytest.fixture
def url(user) -> str:
    return actions.make_sign_in_link(user=user)


def signed_in(client) -> bool:
    return "_auth_user_id" in client.session


def test_opening_it_shows_a_button_and_leaves_it_unused(client, url):
    page = client.get(url).content.decode()
    assert "Ada Ash" in page
    assert not signed_in(client)
    assert SignInLink.objects.get().used_at is None


def test_pressing_signs_in(client, user, url):
    answer = client.post(url)
    assert answer["Location"] == reverse("teams:choose_team")
    assert client.session["_auth_user_id"] == str(user.pk)


def test_the_second_press_is_refused(client, url):
    client.post(url)
    client.logout()
    answer = client.post(url)
    assert answer.status_code == 410
    assert not signed_in(client)
    assert client.get(url).status_code == 410


def test_one_of_two_presses_at_once_wins(user, url):
    one, other = SignInLink.objects.get(), SignInLink.objects.get()
    assert one.take()
    assert not other.take()


def test_an_expired_link_is_refused(client, url):
    SignInLink.objects.update(expires_at=timezone.now() - timedelta(seconds=1))
    assert client.get(url).status_code == 410
    assert client.post(url).status_code == 410
    assert not signed_in(client)


def test_a_second_step_is_still_asked_for(client, user, url):
    TOTP.activate(user, generate_totp_secret())
    answer = client.post(url)
    assert answer["Location"] == reverse("mfa_authenticate")
    assert not signed_in(client)
    assert client.get(answer["Location"]).status_code == 200


def test_giving_up_at_the_second_step_leads_out(client, user, url):
    TOTP.activate(user, generate_totp_secret())
    client.post(url)
    login = reverse("account_login")
    assert client.post(reverse("account_logout"), {"next": login})["Location"] == login
    assert client.get(login).status_code == 200


def test_it_ends_somebody_elses_sign_in(client, user, url, stranger):
    client.force_login(stranger.user)
    assert "that ends" in client.get(url).content.decode()
    client.post(url)
    assert client.session["_auth_user_id"] == str(user.pk)


def test_a_closed_account_cannot_come_in(client, user, url):
    user.is_active = False
    user.save()
    assert client.post(url)["Location"] == reverse("account_inactive")
    assert not signed_in(client)


def test_the_command_prints_a_link_on_the_public_address(client, settings, user):
    settings.PUBLIC_URL = "http://testserver"
    out = StringIO()
    call_command("sign_in_link", user.email.upper(), stdout=out)
    url = out.getvalue().strip()
    assert url.startswith("http://testserver/sign-in/")
    client.post(url)
    assert signed_in(client)


def test_the_command_says_when_nobody_signs_in_so(db):
    with pytest.raises(CommandError, match="Nobody signs in as nobody@"):
        call_command("sign_in_link", "nobody@example.test")
