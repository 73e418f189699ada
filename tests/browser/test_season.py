"""A newcomer's first weekend in a real browser, from signing up to where the points went."""

import io
from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect
from pypdf import PdfReader

from teamops.contests.models import Entry
from teamops.rules.actions import add_starter_rulebooks
from tests.browser.conftest import assert_accessible

pytestmark = pytest.mark.django_db(transaction=True)

TABLE = [[9, 7, 8, 9, 8], [8, 7, 9, 8, 8], [9, 6, 8, 8, 9], [10, 8, 8, 9, 8], [9, 7, 9, 8, 8]]


@pytest.fixture(params=["desk", "phone"])
def newcomer(request: pytest.FixtureRequest, transactional_db: None) -> Page:
    """Somebody who has just heard of it, at a desk or with a phone."""
    add_starter_rulebooks()
    return request.getfixturevalue(request.param)


def look(page: Page) -> None:
    """Every page on the way is fit for everybody and fits its window."""
    assert_accessible(page)
    wide = page.evaluate(
        "document.documentElement.scrollWidth - document.documentElement.clientWidth"
    )
    assert wide <= 0, f"{page.url} is {wide} pixels too wide"


def sign_up(page: Page) -> None:
    page.goto("/account/signup/")
    look(page)
    page.get_by_label("Your name").fill("Wren Tansley")
    page.get_by_label("Email").fill("wren@example.test")
    page.get_by_label("Password", exact=True).fill("a ribeye at noon")
    page.get_by_role("button", name="Make the account").click()
    page.get_by_label("Team name").fill("Oak and Ash")
    look(page)
    page.get_by_role("button", name="Make the team").click()
    expect(page.get_by_role("link", name="Add Saturday’s contest").first).to_be_visible()
    look(page)


def register(page: Page) -> None:
    """A contest last Saturday with two boxes."""
    day = (timezone.localdate() - timedelta(days=2)).isoformat()
    page.get_by_role("link", name="Add Saturday’s contest").first.click()
    page.get_by_label("Name", exact=True).fill("Copperfield Cook")
    page.get_by_label("Date").fill(day)
    page.get_by_label("State").select_option("accepted")
    look(page)
    page.get_by_role("button", name="Add the contest").click()
    for opens in ("13:00", "14:00"):
        page.get_by_role("link", name="Add an entry").click()
        page.get_by_role("group", name="Turn-in opens").get_by_label("time").fill(opens)
        look(page)
        page.get_by_role("button", name="Add the entry").click()
    boxes = page.get_by_role("region", name="What you turn in")
    expect(boxes.get_by_text("Turn in 2:00 pm to 2:15 pm")).to_be_visible()
    look(page)


def type_sheets(page: Page) -> None:
    """Twenty-five marks, each a number key and Enter."""
    page.locator("tr.judge input.mark").first.focus()
    for mark in (mark for row in TABLE for mark in row):
        page.keyboard.type(str(mark))
        page.keyboard.press("Enter")
    page.get_by_label("Placing").fill("4")
    page.get_by_label("Entries in the field").fill("20")
    look(page)
    page.locator(".savebar .save").click()
    expect(page.locator("#notice")).to_contain_text("Saved")


def tap_sheets(page: Page) -> None:
    """Twenty-five marks, a tap each."""
    pad = page.locator(".pad")
    for mark in (mark for row in TABLE for mark in row):
        pad.get_by_role("button", name=str(mark), exact=True).tap()
    expect(pad).to_contain_text("That was the last box")
    pad.get_by_role("button", name="Save").tap()
    expect(page.locator("#notice")).to_contain_text("Saved")


def log(page: Page, box: int) -> None:
    page.get_by_role("link", name="Score sheets").nth(box).click()
    if page.evaluate("matchMedia('(pointer: coarse)').matches"):
        expect(page.locator(".pad")).to_be_visible()  # it comes with its script, a moment later
        tap_sheets(page)
    else:
        type_sheets(page)
    page.locator(".back a").first.click()


def pdf_text(page: Page, link: Any) -> str:
    """What stands on the paper behind a link, fetched with the page's own sign-in."""
    answer = page.request.get(link.get_attribute("href"))
    assert answer.headers["content-type"] == "application/pdf"
    return "\n".join(one.extract_text() for one in PdfReader(io.BytesIO(answer.body())).pages)


def pack(page: Page) -> None:
    page.get_by_role("link", name="Packing list").click()
    look(page)
    page.locator("main form").get_by_role("button").last.click()
    tick = page.locator('button[name="pack"]').first
    line = tick.get_attribute("value")
    tick.click()
    ticked = page.locator(f'button[value="{line}"]')
    expect(ticked).to_have_attribute("aria-pressed", "true")
    page.reload()
    expect(ticked).to_have_attribute("aria-pressed", "true")
    look(page)
    text = pdf_text(page, page.get_by_role("link", name="Print"))
    assert "Oak and Ash" in text
    assert "page 1 of" in text.lower()


def prepare(page: Page) -> None:
    page.get_by_role("link", name="Prep sheet").click()
    page.get_by_role("button", name="Add the usual steps of a steak").click()
    expect(page.get_by_text("12:45 pm").first).to_be_visible()
    look(page)
    text = pdf_text(page, page.get_by_role("link", name="Print"))
    assert "Pull, tent and let it carry over" in text
    page.locator(".back a").first.click()


def test_a_newcomers_first_weekend(newcomer):
    """Signs up, registers, types what came in the envelope, packs, prints and reads."""
    page = newcomer
    sign_up(page)
    register(page)
    contest_url = page.url
    for box in (0, 1):
        log(page, box)
        page.goto(contest_url)
    boxes = Entry.objects.select_related("result").order_by("window_opens_at")
    assert [(box.result.basis, box.result.total) for box in boxes] == [("marks", 205)] * 2
    page.get_by_role("link", name="Where the points went").first.click()
    expect(page.get_by_text("Doneness cost most here: 15 of the 45 points lost.")).to_be_visible()
    look(page)
    page.goto(contest_url)
    prepare(page)
    pack(page)
    page.get_by_role("link", name="Scores", exact=True).click()
    look(page)
    page.get_by_role("link", name="Points ledger").click()
    expect(page.get_by_text("too few to say which criterion usually costs most")).to_be_visible()
    look(page)
