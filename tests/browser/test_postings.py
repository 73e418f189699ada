"""A posted list pasted in a real browser: by thumb, by keyboard, and without scripts."""

from datetime import date

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from teamops.contests.models import Entry
from teamops.judging.models import Posting
from tests.browser.conftest import assert_accessible
from tests.factories.contests import ContestFactory, EntryFactory

pytestmark = pytest.mark.django_db(transaction=True)

LIST = """Place   Team                   Number   Total
1       Smoke Wagon            101      190.5
2       Oak and Ash            12       188
3       Pit Row                9        187
        Average                         188.5
"""


@pytest.fixture
def entry(team) -> Entry:
    contest = ContestFactory(team=team, held_on=date(2025, 6, 8), state="cooked")
    return EntryFactory(contest=contest, team_number="12")


def look(page: Page) -> None:
    assert_accessible(page)
    wide = page.evaluate(
        "document.documentElement.scrollWidth - document.documentElement.clientWidth"
    )
    assert wide <= 0, f"{page.url} is {wide} pixels too wide"


def test_a_list_is_pasted_on_a_phone(phone, sign_in, member, entry):
    sign_in(phone, member.user)
    phone.goto(reverse("contests:show_contest", args=[entry.contest.team.slug, entry.contest_id]))
    phone.get_by_role("link", name="Posted results").click()
    look(phone)
    phone.get_by_role("link", name="Paste its list").click()
    look(phone)
    phone.get_by_label("The list, as it was posted").fill(LIST)
    phone.get_by_role("button", name="Read it").click()
    expect(phone.get_by_text("3 entries with place, name, number and total.")).to_be_visible()
    look(phone)
    phone.get_by_role("button", name="Keep it").click()
    expect(phone.get_by_text("2nd of 3, 188 points.")).to_be_visible()
    look(phone)
    phone.get_by_role("link", name="Correct it").click()
    look(phone)
    phone.get_by_label("Placing").fill("1")
    phone.get_by_label("Why, or by whom").fill("protest upheld")
    phone.get_by_role("button", name="Write the correction down").click()
    expect(phone.get_by_role("heading", name="Corrected", exact=True)).to_be_visible()
    assert Entry.objects.get().placing == 1


def test_enter_in_a_box_reads_again_and_never_keeps(desk, sign_in, member, entry):
    sign_in(desk, member.user)
    address = reverse("judging:add_posting", args=[entry.contest.team.slug, entry.contest_id])
    desk.goto(address)
    desk.get_by_label("The list, as it was posted").fill(LIST)
    desk.get_by_label("Round").press("Enter")
    expect(desk.get_by_role("heading", name="What will be kept")).to_be_visible()
    desk.get_by_label("Round").fill("final table")
    desk.get_by_label("Round").press("Enter")
    expect(desk.get_by_label("Round")).to_have_value("final table")
    assert not Posting.objects.exists()
    desk.get_by_role("button", name="Keep it").focus()
    desk.keyboard.press("Enter")
    expect(desk.get_by_text("final table").first).to_be_visible()
    assert Posting.objects.get().round == "final table"


def test_it_all_works_without_scripts(plain, sign_in, member, entry, watch):
    """Another team has our number: the page asks which line is ours, and keeps what was ticked."""
    sign_in(plain, member.user)
    plain.goto(reverse("judging:add_posting", args=[entry.contest.team.slug, entry.contest_id]))
    plain.get_by_label("The list, as it was posted").fill(
        LIST.replace("Oak and Ash", "Team Hale  ")
    )
    plain.locator("button[name=read]:visible").click()
    plain.get_by_label("leave out line 4").check()
    plain.locator("button[name=read]:visible").first.click()
    expect(plain.get_by_text("2 entries with")).to_be_visible()
    watch.expect(422)
    plain.get_by_role("button", name="Keep it").click()
    expect(plain.get_by_text("choose its line, or say that it is not").first).to_be_visible()
    expect(plain.get_by_label("leave out line 4")).to_be_checked()
    plain.get_by_label("line 3: Team Hale").check()
    plain.get_by_role("button", name="Keep it").click()
    expect(plain.get_by_text("2nd of 2, 188 points.")).to_be_visible()
    assert Posting.objects.get().lines.count() == 2
