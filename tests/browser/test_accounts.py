"""From nothing to a team on a phone, passkeys and codes, and a sign-in that ran out."""

import base64
import hmac
import re
import struct
import time

import pytest
from allauth.account.models import EmailAddress
from django.contrib.sessions.models import Session
from django.urls import reverse
from playwright.sync_api import Page, expect

from teamops.teams import actions
from teamops.teams.models import Membership, User
from teamops.teams.roles import Role
from tests.browser.chromium import sideways
from tests.browser.conftest import assert_accessible
from tests.factories.teams import MembershipFactory, UserFactory

PASSWORD = "smoke-and-salt-77"
pytestmark = pytest.mark.django_db(transaction=True)


def six_digits(secret: str) -> str:
    """The code an app shows now for this secret (RFC 6238, SHA-1, 30 s)."""
    key = base64.b32decode(secret + "=" * (-len(secret) % 8))
    digest = hmac.digest(key, struct.pack(">Q", int(time.time()) // 30), "sha1")
    (number,) = struct.unpack_from(">I", digest, digest[-1] & 15)
    return f"{(number & 0x7FFFFFFF) % 1_000_000:06d}"


def check(page: Page) -> None:
    assert_accessible(page)
    assert sideways(page) <= 0, f"{page.url} is wider than its window"


@pytest.fixture
def ada() -> User:
    user = User.objects.create_user("ada@example.test", "Ada Ash", PASSWORD)
    EmailAddress.objects.create(user=user, email=user.email, primary=True)
    MembershipFactory(user=user, team__name="Oak and Ash", team__slug="oak-and-ash")
    return user


def enter(page: Page, user: User) -> None:
    page.goto(reverse("account_login"))
    page.get_by_label("Email").fill(user.email)
    page.get_by_label("Password").fill(PASSWORD)
    page.locator("main").get_by_role("button", name="Sign in", exact=True).click()


def with_key(page: Page) -> None:
    """Give the phone a fingerprint reader that always says yes."""
    session = page.context.new_cdp_session(page)
    session.send("WebAuthn.enable")
    options = {"protocol": "ctap2", "transport": "internal", "hasResidentKey": True,
               "hasUserVerification": True, "isUserVerified": True}  # fmt: skip
    session.send("WebAuthn.addVirtualAuthenticator", {"options": options})


def test_from_nothing_to_a_team_with_a_mate_on_two_phones(phone, plain):
    """The mate joins on a phone without JavaScript."""
    phone.goto("/")
    check(phone)
    phone.get_by_role("link", name="Make an account").click()
    check(phone)
    phone.get_by_label("Your name").fill("Ada Ash")
    phone.get_by_label("Email").fill("ada@example.test")
    phone.get_by_label("Password").fill(PASSWORD)
    phone.get_by_role("button", name="Make the account").click()
    expect(phone.get_by_role("heading", name="Name your team")).to_be_visible()
    check(phone)
    phone.get_by_label("Team name").fill("Oak & Ash")
    phone.get_by_role("button", name="Make the team").click()
    expect(phone).to_have_url(re.compile(r"/t/oak-ash/$"))
    phone.get_by_role("navigation", name="Sections").get_by_role("link", name="Team").click()
    check(phone)
    phone.get_by_label("For whom").fill("Bo")
    phone.get_by_role("button", name="Make a link").click()
    link = phone.get_by_label("The link").input_value()
    check(phone)

    path = re.sub(r"^https?://[^/]+", "", link)
    plain.goto(path)
    plain.get_by_role("link", name="Make an account").click()
    plain.get_by_label("Email").fill("bo@example.test")
    plain.get_by_label("Password").fill(PASSWORD)
    plain.get_by_role("button", name="Make the account").click()
    plain.get_by_role("button", name="Join the team").click()
    expect(plain).to_have_url(re.compile(r"/t/oak-ash/$"))
    assert Membership.objects.get(user__email="bo@example.test").role == Role.COOK


def test_each_page_of_an_account_is_fit_for_everybody(desk, ada):
    enter(desk, ada)
    expect(desk.get_by_role("navigation", name="Sections")).to_be_visible()
    desk.goto(reverse("account_reauthenticate"))
    check(desk)
    desk.get_by_label("Password").fill(PASSWORD)
    desk.get_by_role("button", name="It is me").click()
    for name in ("teams:show_account", "account_email", "account_change_password", "mfa_index",
                 "mfa_activate_totp", "mfa_add_webauthn", "mfa_list_webauthn",
                 "teams:close_account", "account_logout", "teams:add_team"):  # fmt: skip
        desk.goto(reverse(name))
        check(desk)
    for name in ("team:show_team", "team:change_team", "team:delete_team"):
        desk.goto(reverse(name, args=["oak-and-ash"]))
        check(desk)


def test_a_passkey_is_added_and_signs_in_alone(phone, ada):
    with_key(phone)
    enter(phone, ada)
    phone.goto(reverse("mfa_add_webauthn"))
    phone.get_by_label("Password").fill(PASSWORD)
    phone.get_by_role("button", name="It is me").click()
    phone.get_by_label("Sign in with it alone").check()
    phone.get_by_role("button", name="Add it").click()
    expect(phone.get_by_role("heading", name="Spare codes")).to_be_visible()
    check(phone)
    phone.evaluate("localStorage.setItem('draft', 'half a sheet')")
    phone.get_by_text("Ada", exact=True).click()
    phone.locator(".menu").get_by_role("button", name="Sign out").click()
    expect(phone.get_by_role("heading", name="Sign in")).to_be_visible()
    assert phone.evaluate("localStorage.length") == 0
    phone.get_by_role("button", name="Use a passkey").click()
    expect(phone).to_have_url(re.compile(r"/t/oak-and-ash/$"))


def test_a_phone_without_a_passkey_is_told_so(phone, ada):
    phone.goto(reverse("account_login"))
    refusal = "Promise.reject(new DOMException('', 'NotAllowedError'))"
    phone.evaluate(f"() => {{ navigator.credentials.get = () => {refusal} }}")
    phone.get_by_role("button", name="Use a passkey").click()
    expect(phone.locator("#said")).to_have_text("No passkey came. Try again, or use your password.")


def test_the_apps_code_is_set_up_by_its_picture_and_asked_for(phone, ada):
    enter(phone, ada)
    phone.goto(reverse("mfa_activate_totp"))
    phone.get_by_label("Password").fill(PASSWORD)
    phone.get_by_role("button", name="It is me").click()
    picture = phone.get_by_role("img", name="Picture to scan with the app")
    assert picture.evaluate("image => image.naturalWidth") > 100  # the policy let it through
    secret = phone.get_by_label("The secret").input_value()
    phone.get_by_label("Code").fill(six_digits(secret))
    phone.get_by_role("button", name="Turn it on").click()
    phone.goto(reverse("account_logout"))
    phone.locator("main").get_by_role("button", name="Sign out").click()
    enter(phone, ada)
    expect(phone.get_by_role("heading", name="One more step")).to_be_visible()
    check(phone)
    phone.get_by_role("button", name="Not now").click()
    expect(phone.get_by_role("heading", name="Sign in")).to_be_visible()


def test_a_sign_in_link_works_once(phone, watch, ada):
    path = re.sub(r"^https?://[^/]+", "", actions.make_sign_in_link(user=ada))
    phone.goto(path)
    check(phone)
    phone.get_by_role("button", name="Sign in").click()
    expect(phone).to_have_url(re.compile(r"/t/oak-and-ash/$"))
    watch.expect(410)
    phone.goto(path)
    expect(phone.get_by_role("heading", name="This link is spent")).to_be_visible()
    check(phone)


def press_by_htmx(page: Page, url: str) -> None:
    """Press something that htmx sends, on whatever page this is."""
    options = "{target: '#main', swap: 'innerHTML'}"
    page.evaluate(f"url => {{ htmx.ajax('POST', url, {options}).catch(() => null) }}", url)


def test_a_press_after_the_sign_in_ran_out_leads_to_the_door_and_back(phone, sign_in, watch, ada):
    sign_in(phone, ada)
    here = reverse("team:show_team", args=["oak-and-ash"])
    phone.goto(here)
    Session.objects.all().delete()
    watch.expect(401, "Status Error Code 401")
    press_by_htmx(phone, reverse("team:leave_team", args=["oak-and-ash"]))
    expect(phone.get_by_role("heading", name="Sign in")).to_be_visible()
    phone.get_by_label("Email").fill(ada.email)
    phone.get_by_label("Password").fill(PASSWORD)
    phone.locator("main").get_by_role("button", name="Sign in", exact=True).click()
    expect(phone).to_have_url(re.compile(f"{here}$"))


def test_a_press_that_is_refused_or_lost_is_said_where_the_thumb_is(phone, sign_in, watch, ada):
    reader = MembershipFactory(user=UserFactory(), role=Role.READER, team__slug="elm")
    sign_in(phone, reader.user)
    phone.goto(reverse("team:show_team", args=["elm"]))
    watch.expect(403, "Status Error Code 403")
    press_by_htmx(phone, reverse("team:invite", args=["elm"]))
    said = phone.locator("#said")
    expect(said).to_have_text("Your role in this team does not allow that.")
    expect(said).to_be_in_viewport()
    bar = phone.get_by_role("navigation", name="Sections").bounding_box()
    assert said.bounding_box()["y"] + said.bounding_box()["height"] <= bar["y"]
    watch.expect("ERR_INTERNET_DISCONNECTED", "htmx:sendError", "htmx:afterRequest")
    phone.context.set_offline(True)
    press_by_htmx(phone, reverse("team:invite", args=["elm"]))
    expect(said).to_contain_text("No signal")


def test_nothing_hides_under_the_bar_at_the_foot(phone, sign_in, ada):
    sign_in(phone, ada)
    phone.goto(reverse("team:show_team", args=["oak-and-ash"]))
    phone.evaluate("window.scrollTo(0, document.body.scrollHeight)")
    last = phone.get_by_role("link", name="Delete the team").bounding_box()
    bar = phone.get_by_role("navigation", name="Sections").bounding_box()
    assert last["y"] + last["height"] < bar["y"]


def test_the_menu_closes_by_escape_and_by_a_press_elsewhere(desk, sign_in, ada):
    sign_in(desk, ada)
    desk.goto(reverse("teams:show_account"))
    menu, mark = desk.locator(".menu"), desk.locator(".person summary")
    mark.click()
    expect(menu).to_be_visible()
    desk.keyboard.press("Escape")
    expect(menu).to_be_hidden()
    expect(mark).to_be_focused()
    mark.click()
    desk.locator("main").click(position={"x": 5, "y": 5})
    expect(menu).to_be_hidden()
