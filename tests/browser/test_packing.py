"""The packing board under a thumb: ticks stay, another phone hears of them, no script needed."""

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from teamops.packing.models import PackingList
from tests.browser.chromium import PHONE
from tests.browser.conftest import OpenPage, SignIn, assert_accessible
from tests.factories.packing import PackingListFactory, ShoppingLineFactory

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def ours(live_server, team) -> PackingList:
    return PackingListFactory(trip__team=team, title="Gravel Bar", lines=3)


def board(packing_list: PackingList) -> str:
    return reverse("packing:show_list", args=[packing_list.trip.team.slug, packing_list.pk])


def test_a_tick_stays_under_the_thumb(
    phone: Page, sign_in: SignIn, owner, ours: PackingList
) -> None:
    sign_in(phone, owner.user)
    phone.goto(board(ours))
    assert_accessible(phone)
    line = ours.lines.first()
    press = phone.locator(f"#line-{line.pk}")
    press.click()
    expect(press).to_have_attribute("aria-pressed", "true")
    expect(phone.locator("#board-count")).to_have_text("1 of 3 packed")
    expect(phone.locator("#tab-pack")).to_have_text("1 of 3")
    expect(press).to_be_focused()
    press.click()
    expect(phone.locator("#board-count")).to_have_text("0 of 3 packed")
    line.refresh_from_db()
    assert line.packed_at is None


def test_another_phone_hears_of_it(
    phone: Page, open_page: OpenPage, live_server, sign_in: SignIn, owner, helper, ours
) -> None:
    other = open_page(base_url=live_server.url, **PHONE)
    sign_in(phone, owner.user)
    sign_in(other, helper.user)
    line = ours.lines.first()
    for page in (phone, other):
        page.goto(board(ours))
    phone.locator(f"#line-{line.pk}").click()
    expect(other.locator("#board-count")).to_have_text("1 of 3 packed", timeout=9_000)
    expect(other.locator(f"#line-{line.pk}")).to_have_attribute("aria-pressed", "true")


def test_without_javascript_the_page_comes_back_to_the_row(
    plain: Page, sign_in: SignIn, owner, ours: PackingList
) -> None:
    sign_in(plain, owner.user)
    plain.goto(f"{board(ours)}?stage=load")
    line = ours.lines.last()
    plain.locator(f"#line-{line.pk}").click()
    assert plain.url.endswith(f"?stage=load#line-{line.pk}")
    expect(plain.locator("#board-count")).to_have_text("1 of 3 loaded")


def test_shopping_is_ticked_in_place(phone: Page, sign_in: SignIn, owner, ours) -> None:
    shopping = ShoppingLineFactory(packing_list=ours)
    sign_in(phone, owner.user)
    phone.goto(reverse("packing:show_shopping", args=[ours.trip.team.slug]))
    assert_accessible(phone)
    phone.locator(f"#buy-{shopping.pk}").click()
    expect(phone.locator("#shopping .boardline")).to_have_text("0 to buy")
