"""Signing up, in and out; every account page on our own page; closing an account."""

import logging
import re
from smtplib import SMTPException

import pytest
from allauth.account.models import EmailAddress
from allauth.mfa.models import Authenticator
from allauth.mfa.recovery_codes.internal.auth import RecoveryCodes
from allauth.mfa.totp.internal.auth import TOTP, generate_totp_secret
from django.core import mail
from django.core.exceptions import ValidationError
from django.urls import reverse

from teamops.teams import actions
from teamops.teams.accounts import public_links
from teamops.teams.models import Membership, SignInLink, Team, User
from teamops.teams.roles import Role
from tests.factories.teams import MembershipFactory, UserFactory

PASSWORD = "smoke-and-salt-77"


@pytest.fixture
def user(db) -> User:
    user = User.objects.create_user("ada@example.test", "Ada Ash", PASSWORD)
    EmailAddress.objects.create(user=user, email=user.email, primary=True)
    return user


@pytest.fixture
def browser(client, user):
    """A browser in which Ada signed in with her password just now."""
    client.post(reverse("account_login"), {"login": user.email, "password": PASSWORD})
    client.post(reverse("account_reauthenticate"), {"password": PASSWORD})
    return client


def assert_ours(answer) -> None:
    """Our look, nothing that the policy would block, one heading."""
    page = answer.content.decode()
    assert answer.status_code == 200
    assert "css/teamops.css" in page
    assert not re.search(r"\sstyle=|<style|\son[a-z]+=", page)
    assert not re.search(r"<script(?![^>]*(\ssrc=|application/json))", page)
    assert page.count("<h1") == 1
    for button in re.findall(r"<button[^>]*>", page):
        assert "button" in button.partition("class=")[2] or "Sign out" in page, button


# Signing up and in


def test_from_nothing_to_the_season_page(client, db):
    form = {"name": "Sam", "email": "Sam@Example.test", "password1": PASSWORD}
    answer = client.post(reverse("account_signup"), form, follow=True)
    assert answer.redirect_chain[-1][0] == reverse("teams:add_team")
    answer = client.post(reverse("teams:add_team"), {"name": "Oak & Ash"})
    assert answer["Location"] == reverse("insight:show_season", args=["oak-ash"])
    user = User.objects.get()
    assert (user.name, user.email) == ("Sam", "sam@example.test")


def test_signing_up_needs_no_name(client, db):
    client.post(reverse("account_signup"), {"email": "sam@example.test", "password1": PASSWORD})
    assert str(User.objects.get()) == "sam"


@pytest.mark.parametrize(
    ("name", "says"),
    [("x" * 10_000, "at most 80 characters"), ("a\x00b", "cannot be stored")],
    ids=["long", "NUL"],
)
def test_a_name_that_cannot_be_stored_is_said_at_the_field(client, db, name, says):
    form = {"name": name, "email": "sam@example.test", "password1": PASSWORD}
    page = client.post(reverse("account_signup"), form).content.decode()
    assert says in page
    assert 'id="id_name_error"' in page
    assert not User.objects.exists()


def test_the_same_address_twice_is_one_account(client, user):
    form = {"email": "ADA@example.test", "password1": PASSWORD}
    page = client.post(reverse("account_signup"), form).content.decode()
    assert 'id="id_email_error"' in page
    assert User.objects.count() == 1


def test_a_silent_mail_server_locks_nobody_out(client, db, monkeypatch, caplog):
    def fail(*args, **kwargs):
        raise SMTPException("no answer")

    monkeypatch.setattr("django.core.mail.EmailMessage.send", fail)
    form = {"email": "sam@example.test", "password1": PASSWORD}
    with caplog.at_level(logging.CRITICAL):
        answer = client.post(reverse("account_signup"), form, follow=True)
    assert "The mail could not be sent." in answer.content.decode()
    assert "_auth_user_id" in client.session


def test_a_wrong_password_is_said_and_the_address_kept(client, user):
    answer = client.post(reverse("account_login"), {"login": user.email, "password": "guess"})
    page = answer.content.decode()
    assert "errorlist" in page
    assert user.email in page


def test_links_in_mail_are_on_the_public_address(client, user, settings):
    """Somebody asks with a forged host name; the mail's link leads to us all the same."""
    settings.ALLOWED_HOSTS = ["*"]
    settings.PUBLIC_URL = "https://cooks.example.test"
    form = {"email": user.email}
    client.post(reverse("account_reset_password"), form, headers={"Host": "evil.example.test"})
    body = mail.outbox[0].body
    assert "https://cooks.example.test/account/password/reset/key/" in body
    assert "evil.example.test" not in body


def test_the_link_in_the_mail_leads_to_a_new_password(client, user):
    client.post(reverse("account_reset_password"), {"email": user.email})
    url = re.search(r"http://testserver\S+", mail.outbox[0].body).group()
    answer = client.get(url, follow=True)
    assert_ours(answer)
    path = answer.redirect_chain[-1][0]
    client.post(path, {"password1": "a-new-one-88", "password2": "a-new-one-88"})
    user.refresh_from_db()
    assert user.check_password("a-new-one-88")


def test_only_addresses_are_moved_to_the_public_address(settings):
    settings.PUBLIC_URL = "https://us.example.test"
    moved = public_links({"a_url": "http://x.test/p?q=1", "code": "http://x.test", "b_url": None})
    assert moved == {
        "a_url": "https://us.example.test/p?q=1",
        "code": "http://x.test",
        "b_url": None,
    }


# Signing out


def test_signing_out_clears_what_the_device_kept(browser):
    answer = browser.post(reverse("account_logout"))
    assert answer["Clear-Site-Data"] == '"storage"'
    assert "_auth_user_id" not in browser.session
    answer = browser.post(reverse("account_logout"))  # the press sent twice
    assert answer.status_code == 302


def test_the_page_before_signing_out_clears_nothing(browser):
    answer = browser.get(reverse("account_logout"))
    assert "Clear-Site-Data" not in answer
    assert_ours(answer)


# Pages


@pytest.mark.parametrize(
    "name",
    ["account_login", "account_signup", "account_reset_password", "account_reset_password_done",
     "account_reset_password_from_key_done", "account_inactive",
     "account_email_verification_sent"],
)  # fmt: skip
def test_pages_before_the_door(client, db, name):
    assert_ours(client.get(reverse(name)))


@pytest.mark.parametrize(
    "name",
    ["teams:show_account", "teams:close_account", "account_email", "account_change_password",
     "account_logout", "mfa_index", "mfa_activate_totp", "mfa_list_webauthn", "mfa_add_webauthn",
     "account_reauthenticate"],
)  # fmt: skip
def test_pages_of_an_account(browser, name):
    assert_ours(browser.get(reverse(name)))


@pytest.mark.parametrize(
    "name",
    ["mfa_index", "mfa_deactivate_totp", "mfa_view_recovery_codes", "mfa_generate_recovery_codes",
     "mfa_reauthenticate", "mfa_list_webauthn", "mfa_edit_webauthn", "mfa_remove_webauthn"],
)  # fmt: skip
def test_pages_of_an_account_with_a_second_step(browser, user, name):
    TOTP.activate(user, generate_totp_secret())
    RecoveryCodes.activate(user)
    key = Authenticator.objects.create(
        user=user, type="webauthn", data={"name": "Ring", "credential": {}}
    )
    args = [key.pk] if name in ("mfa_edit_webauthn", "mfa_remove_webauthn") else []
    if name == "mfa_list_webauthn":
        key.delete()
    assert_ours(browser.get(reverse(name, args=args)))


def test_a_spent_confirmation_link_says_so(client, db):
    assert_ours(client.get(reverse("account_confirm_email", args=["nothing"])))


def test_a_link_person_without_password_can_choose_one(client, db):
    user = User.objects.create_user("bo@example.test", "Bo")
    client.force_login(user)
    assert_ours(client.get(reverse("account_set_password")))


def test_without_javascript_a_passkey_press_falls_softly(client, db):
    answer = client.post(reverse("mfa_login_webauthn"), {"credential": ""})
    assert answer.status_code in (200, 302)


# One's own account


def test_a_name_is_changed_and_said_twice_is_once(browser, user):
    for _ in range(2):
        answer = browser.post(reverse("teams:change_name"), {"name": "Ada A."})
        assert answer["Location"] == reverse("teams:show_account")
    user.refresh_from_db()
    assert user.name == "Ada A."


def test_a_long_name_is_refused_beside_the_field(browser, user):
    answer = browser.post(reverse("teams:change_name"), {"name": "x" * 10_000})
    assert answer.status_code == 422
    assert 'id="id_name_error"' in answer.content.decode()
    user.refresh_from_db()
    assert user.name == "Ada Ash"


def test_closing_asks_who_it_is_first(client, user):
    client.force_login(user)
    answer = client.get(reverse("teams:close_account"))
    assert reverse("account_reauthenticate") in answer["Location"]


def test_closing_empties_the_account_and_keeps_the_row(browser, user):
    MembershipFactory(user=user, role=Role.COOK)
    actions.make_sign_in_link(user=user)
    TOTP.activate(user, generate_totp_secret())
    answer = browser.post(reverse("teams:close_account"), {"typed": "Ada@Example.test"})
    assert answer["Clear-Site-Data"] == '"storage"'
    assert "_auth_user_id" not in browser.session
    user.refresh_from_db()
    assert (user.name, user.is_active, user.has_usable_password()) == ("", False, False)
    assert "ada" not in user.email
    assert str(user) == "Somebody who left"
    for model in (EmailAddress, Authenticator, SignInLink, Membership):
        assert not model.objects.filter(user=user).exists()


def test_the_address_can_be_used_again_after_closing(browser, client, user):
    browser.post(reverse("teams:close_account"), {"typed": user.email})
    client.post(reverse("account_signup"), {"email": "ada@example.test", "password1": PASSWORD})
    assert User.objects.filter(email="ada@example.test", is_active=True).count() == 1


def test_closing_wants_the_address_typed(browser, user):
    answer = browser.post(reverse("teams:close_account"), {"typed": "yes"})
    assert answer.status_code == 422
    assert "That is not your address" in answer.content.decode()
    user.refresh_from_db()
    assert user.is_active


def test_the_last_owner_of_others_cannot_close(browser, user, team):
    MembershipFactory(team=team, user=user, role=Role.OWNER)
    MembershipFactory(team=team, role=Role.COOK)
    answer = browser.post(reverse("teams:close_account"), {"typed": user.email})
    assert answer.status_code == 422
    assert "last owner of Oak and Ash" in answer.content.decode()
    assert Team.objects.filter(pk=team.pk).exists()


def test_a_team_with_nobody_else_goes_with_the_account(browser, user, team):
    MembershipFactory(team=team, user=user, role=Role.OWNER)
    shared = MembershipFactory(user=user, role=Role.COOK).team
    MembershipFactory(team=shared, role=Role.OWNER)
    assert "Oak and Ash" in browser.get(reverse("teams:close_account")).content.decode()
    browser.post(reverse("teams:close_account"), {"typed": user.email})
    assert list(Team.objects.all()) == [shared]


def test_closing_twice_changes_nothing_more(user):
    actions.close_account(user=user, typed=user.email)
    user.refresh_from_db()
    with pytest.raises(ValidationError):
        actions.close_account(user=user, typed="ada@example.test")


def test_another_browser_of_a_closed_account_is_out(client, user):
    client.force_login(user)
    actions.close_account(user=user, typed=user.email)
    assert client.get(reverse("teams:show_account")).status_code == 302


def test_two_people_may_have_closed(db):
    for person in (UserFactory(), UserFactory()):
        actions.close_account(user=person, typed=person.email)
    assert User.objects.filter(is_active=False).count() == 2
