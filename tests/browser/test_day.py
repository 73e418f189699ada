"""The contest's day by thumb: the meeting, the box, the turn-in; and the same without a script."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Page, expect

from teamops.contests.models import Entry
from tests.browser.chromium import sideways
from tests.browser.conftest import SignIn, assert_accessible
from tests.factories.contests import ContestFactory, EntryFactory
from tests.factories.rules import RulebookFactory

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def entry(live_server, team) -> Entry:
    now = timezone.now().replace(microsecond=0)
    contest = ContestFactory(team=team, held_on=now.date())
    return EntryFactory(
        contest=contest,
        rulebook=RulebookFactory(piece="one whole steak", garnish="no", window_minutes=20),
        window_opens_at=now + timedelta(minutes=40),
        window_closes_at=now + timedelta(minutes=60),
        blind_number="417",
    )


def address(name: str, entry: Entry) -> str:
    row = entry.contest if name == "show_meeting" else entry
    return reverse(f"contests:{name}", args=[entry.contest.team.slug, row.pk])


def test_a_long_button_breaks_on_a_phone(phone: Page, sign_in: SignIn, helper, entry: Entry):
    """Windows moved by hours and minutes make it say a lot."""
    EntryFactory(contest=entry.contest, window_opens_at=entry.window_opens_at)
    sign_in(phone, helper.user)
    phone.goto(address("show_meeting", entry))
    window = phone.locator(f"#window-{entry.pk}")
    window.get_by_text("Changed to").tap()
    zone = entry.contest.zone
    earlier = entry.window_opens_at.astimezone(zone) - timedelta(hours=11, minutes=23)
    window.get_by_label("Day").fill(earlier.date().isoformat())
    window.get_by_label("Opens").fill(f"{earlier:%H:%M}")
    later = earlier + timedelta(minutes=20)
    window.get_by_label("Closes").fill(f"{later:%H:%M}")
    window.locator('button[value="change"]').tap()
    expect(phone.get_by_role("button", name="Move the other window 11 h")).to_be_visible()
    assert sideways(phone) == 0


def test_the_day_by_thumb(phone: Page, sign_in: SignIn, helper, entry: Entry) -> None:
    sign_in(phone, helper.user)
    phone.goto(address("show_meeting", entry))
    assert_accessible(phone)
    assert sideways(phone) == 0
    expect(phone.locator("[data-clocks] b").first).to_contain_text(":")
    phone.reload()
    phone.get_by_role("button", name="It reads this now").tap()
    expect(phone.locator("#clock-offset-seconds")).to_contain_text("settled")
    entry.contest.refresh_from_db()
    # it offers the coming minute; a slow machine may take it past that
    assert abs(entry.contest.clock_offset_seconds) <= 120
    window = phone.locator(f"#window-{entry.pk}")
    window.get_by_role("button", name="As it stands").tap()
    expect(phone.locator(".pagehead .stamp")).to_have_text("2 of 8 settled")

    walk = phone.locator("#walk-seconds")
    walk.get_by_role("button", name="Start walking now").tap()
    phone.wait_for_timeout(1_600)
    walk.get_by_role("button", name="I am there").tap()
    assert walk.get_by_label("Seconds").input_value() in ("1", "2", "3")
    walk.get_by_role("button", name="Keep it").tap()
    expect(phone.locator("#walk-seconds .stands")).to_contain_text("s")

    phone.goto(address("check_box", entry))
    assert_accessible(phone)
    asked = phone.locator("fieldset")
    expect(asked).to_have_count(5)
    for place in range(5):
        asked.nth(place).get_by_role("radio", name="Right", exact=True).tap()
    expect(phone.get_by_role("status")).to_contain_text("the box is all right")

    assert phone.url.endswith("/turn-in/")
    assert_accessible(phone)
    assert sideways(phone) == 0
    expect(phone.locator("p.clock span")).to_contain_text("opens in ")
    expect(phone.locator("#said-clock")).to_contain_text("minutes")
    phone.get_by_role("button", name="Turned in now").tap()
    expect(phone.locator(".loud")).to_contain_text("early by the official clock")
    entry.refresh_from_db()
    assert entry.turned_in_by == helper.user
    assert entry.turned_in_at > timezone.now()  # the official clock is ahead


def test_the_day_without_a_script(plain: Page, sign_in: SignIn, helper, entry: Entry) -> None:
    sign_in(plain, helper.user)
    plain.goto(address("show_meeting", entry))
    clock = plain.locator("#clock-offset-seconds")
    clock.get_by_label("Seconds").fill("90")
    clock.get_by_role("button", name="Keep the seconds").click()
    expect(clock).to_contain_text("1 min 30 s ahead of ours")
    plain.goto(address("check_box", entry))
    asked = plain.locator("fieldset")
    for place in range(4):
        asked.nth(place).get_by_role("radio", name="Right", exact=True).click()
    asked.nth(4).get_by_role("radio", name="Not right").click()
    plain.get_by_label("What is not right").fill("The lid says 471.")
    plain.get_by_role("button", name="Keep the check").click()
    expect(plain.locator("#last")).to_contain_text("The lid says 471.")
    plain.get_by_role("link", name="On to the turn-in").click()
    expect(plain.locator("main")).to_contain_text("by the official clock")
    plain.get_by_role("button", name="Turned in now").click()
    entry.refresh_from_db()
    ahead = entry.turned_in_at - timezone.now()
    assert timedelta(seconds=75) < ahead <= timedelta(seconds=90)
    plain.goto(reverse("contests:show_contest", args=[helper.team.slug, entry.contest.pk]))
    expect(plain.locator("#the-day")).to_contain_text("Turned in")
