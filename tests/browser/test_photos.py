"""A photo by phone, with a script and without; and last Sunday's sheets in one short form."""

from pathlib import Path

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Page, expect

from teamops.contests.models import Contest, Entry
from tests.browser.chromium import sideways
from tests.browser.conftest import SignIn, assert_accessible
from tests.factories.contests import ContestFactory, EntryFactory
from tests.factories.photos import picture_bytes
from tests.factories.rules import RulebookFactory

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def entry(live_server, team) -> Entry:
    return EntryFactory(contest=ContestFactory(team=team, held_on=timezone.localdate()))


@pytest.fixture
def files(tmp_path: Path) -> list[str]:
    pictures = {
        "box.jpg": picture_bytes((900, 600)),
        "cut.png": picture_bytes((600, 900), "PNG", "maroon"),
        "letter.jpg": b"Dear judges",
    }
    for name, data in pictures.items():
        (tmp_path / name).write_bytes(data)
    return [str(tmp_path / name) for name in pictures]


def photos_url(entry: Entry) -> str:
    return reverse("contests:add_photo", args=[entry.contest.team.slug, entry.pk])


def test_photos_by_phone(phone: Page, sign_in: SignIn, helper, entry, files, watch) -> None:
    sign_in(phone, helper.user)
    phone.goto(reverse("contests:show_contest", args=[helper.team.slug, entry.contest.pk]))
    phone.get_by_role("link", name="Add photos").tap()
    phone.get_by_label("the cut").tap()
    phone.get_by_label("Or choose some").set_input_files(files)
    phone.get_by_label("Note").fill("Left corner")
    watch.expect(422)
    phone.get_by_role("button", name="Keep the photos").tap()
    expect(phone.locator("#problems")).to_contain_text("letter.jpg")
    assert phone.get_by_label("Note").input_value() == "Left corner"
    expect(phone.get_by_label("the cut")).to_be_checked()
    shown = phone.locator(".photos img")
    expect(shown).to_have_count(2)
    shown.first.scroll_into_view_if_needed()
    expect(shown.first).to_have_js_property("complete", value=True)
    assert shown.first.evaluate("image => image.naturalWidth") > 0
    assert_accessible(phone)
    assert sideways(phone) == 0
    phone.get_by_role("link", name="Remove").first.tap()
    expect(phone.get_by_role("button", name="Remove it")).to_be_visible()
    assert_accessible(phone)
    phone.get_by_role("button", name="Remove it").tap()
    expect(phone.get_by_role("status")).to_contain_text("The photo is gone.")
    assert entry.photos.count() == 1


def test_a_photo_and_its_temperatures_without_a_script(
    plain: Page, sign_in: SignIn, helper, entry, files
) -> None:
    sign_in(plain, helper.user)
    plain.goto(photos_url(entry))
    plain.get_by_label("Take a photo").set_input_files(files[0])
    plain.get_by_role("button", name="Keep the photos").click()
    expect(plain.get_by_role("status")).to_contain_text("1 photo is kept.")
    plain.get_by_role("link", name="How was it cooked?").click()
    plain.get_by_label("right", exact=True).check()
    plain.get_by_label("Peak").fill("143.5")
    plain.get_by_role("button", name="Keep it").click()
    expect(plain.locator(".cooked")).to_contain_text("143.5 °F")
    expect(plain.locator(".caution")).to_contain_text("under the published minimum")


def test_last_sundays_sheets_in_one_form(phone: Page, sign_in: SignIn, owner, live_server) -> None:
    RulebookFactory(name="Open Slate")
    sign_in(phone, owner.user)
    phone.goto(reverse("insight:show_season", args=[owner.team.slug]))
    phone.get_by_role("link", name="Type last Sunday’s sheets").tap()
    expect(phone.get_by_label("Contest")).to_be_visible()
    assert_accessible(phone)
    assert sideways(phone) == 0
    phone.get_by_label("Contest").fill("Mill Smoke")
    phone.get_by_role("button", name="On to the sheets").tap()
    expect(phone.get_by_role("heading", level=1)).to_contain_text("Ribeye")
    assert phone.url.endswith(f"/scores/{Entry.objects.get().pk}/")
    assert Contest.objects.get().state == Contest.State.COOKED
