"""Checklists under a thumb and by keyboard, and a list behind a link without an account."""

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from teamops.contests.models import Contest
from teamops.teams.actions.list_links import make_link
from teamops.teams.models import ListLink
from tests.browser.conftest import OpenPage, SignIn, assert_accessible
from tests.factories.contests import ContestFactory, TaskFactory

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def contest(live_server, team) -> Contest:
    contest = ContestFactory(team=team, name="Gravel Bar Final")
    for title in ("Ice", "Knives", "Papers"):
        TaskFactory(contest=contest, title=title)
    return contest


def test_a_line_is_ticked_by_keyboard_and_keeps_its_place(
    desk: Page, sign_in: SignIn, owner, contest
) -> None:
    sign_in(desk, owner.user)
    desk.goto(reverse("contests:show_checklist", args=[contest.team.slug, contest.pk]))
    assert_accessible(desk)
    line = contest.tasks.get(title="Knives")
    press = desk.locator(f"#line-{line.pk}")
    press.focus()
    desk.keyboard.press("Enter")
    expect(press).to_have_attribute("aria-pressed", "true")
    expect(desk.locator("#all-done")).to_have_text("1 of 3 done")
    expect(desk.locator("#count-0")).to_have_text("1 of 3")
    expect(press).to_be_focused()
    desk.keyboard.press("Enter")
    expect(desk.locator("#all-done")).to_have_text("0 of 3 done")


def test_from_no_checklist_to_a_ticked_line_on_a_phone(
    phone: Page, sign_in: SignIn, owner, contest
) -> None:
    sign_in(phone, owner.user)
    phone.goto(reverse("contests:show_contest", args=[contest.team.slug, contest.pk]))
    phone.get_by_role("link", name="To-dos and checklists").click()
    phone.get_by_role("button", name="Start with our usual ones").click()
    phone.get_by_label("Checklist", exact=True).select_option(label="On arrival")
    phone.get_by_role("button", name="Put it on this contest").click()
    phone.get_by_role("button", name="Check in, find the turn-in table").click()
    expect(phone.locator("#all-done")).to_have_text("1 of 13 done")


def test_a_partner_without_account_or_javascript_ticks_a_line(
    plain: Page, open_page: OpenPage, live_server, cook, contest
) -> None:
    _, address = make_link(
        team=contest.team, kind=ListLink.Kind.CHECKLIST, object_id=contest.pk, label="Marta",
        may=ListLink.May.TICK, by=cook.user,
    )  # fmt: skip
    path = "/" + address.split("/", 3)[3]
    line = contest.tasks.get(title="Ice")
    plain.goto(path)
    plain.locator(f"#line-{line.pk}").click()
    assert plain.url.endswith(f"{path}#line-{line.pk}")
    expect(plain.get_by_text("done by Marta’s link")).to_be_visible()
    assert not plain.context.cookies()
    line.refresh_from_db()
    assert (line.done_by, line.done_as) == (cook.user, "Marta")
    other = open_page(base_url=live_server.url)  # a page without JavaScript cannot be asked by axe
    other.goto(path)
    assert_accessible(other)
