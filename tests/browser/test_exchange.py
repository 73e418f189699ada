"""A shoebox of scores brought in on a phone: pasted, put right, taken in, undone."""

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from teamops.judging.models import ScoreSheet
from tests.browser.conftest import assert_accessible
from tests.factories.exchange import BOOK, table
from tests.factories.rules import RulebookFactory

pytestmark = pytest.mark.django_db(transaction=True)


def look(page: Page) -> None:
    assert_accessible(page)
    wide = page.evaluate(
        "document.documentElement.scrollWidth - document.documentElement.clientWidth"
    )
    assert wide <= 0, f"{page.url} is {wide} pixels too wide"


def test_a_table_is_brought_in_on_a_phone(phone, sign_in, team, member):
    RulebookFactory(name=BOOK, edition="")
    rows = table(boxes=3)
    rows[4][7] = "abc"
    sign_in(phone, member.user)
    phone.goto(reverse("judging:show_exchange", args=[team.slug]))
    look(phone)
    phone.get_by_label("Or paste it").fill("\n".join("\t".join(row) for row in rows))
    phone.get_by_role("button", name="Read it").click()
    expect(phone.get_by_text("One row cannot be read")).to_be_visible()
    phone.get_by_role("link", name="Look only at rows with a problem").click()
    look(phone)
    cell = phone.get_by_label("Row 5, Taste: says “abc”")
    cell.fill("9")
    cell.press("Tab")  # leaving the field is enough
    expect(phone.get_by_text("No row has a problem.")).to_be_visible()
    look(phone)
    phone.get_by_role("button", name="Bring it in").click()
    expect(phone.get_by_text("Three contests, three boxes and six sheets made.")).to_be_visible()
    look(phone)
    assert ScoreSheet.objects.count() == 6
    phone.get_by_role("link", name="Undo this import").click()
    look(phone)
    phone.get_by_role("button", name="Undo it").click()
    expect(phone.get_by_text("It is undone")).to_be_visible()
    assert not ScoreSheet.objects.exists()
