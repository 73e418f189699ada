"""Writing a rulebook in a real browser: the example totals as one types, and rows move."""

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from teamops.rules.models import Rulebook
from tests.browser.chromium import sideways
from tests.browser.conftest import assert_accessible

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def url(team) -> str:
    return reverse("rules:add_rulebook", args=[team.slug])


def fill(page: Page, row: int, name: str, weight: str = "1") -> None:
    page.locator(f"#c{row}-c-name").fill(name)
    page.locator(f"#c{row}-c-weight").fill(weight)


def test_it_totals_as_one_types(desk, sign_in, member, team, url):
    """Two criteria, two judges: 9 + 8 and 7 + 6, and taste counts twice in the end."""
    sign_in(desk, member.user)
    desk.goto(url)
    fill(desk, 0, "Taste")
    fill(desk, 1, "Looks")
    desk.locator("#id_sheets_expected").fill("2")
    cells = desk.locator("#worked-marks input[aria-label]")
    expect(cells).to_have_count(4)
    for cell, mark in zip(cells.all(), ("9", "8", "7", "6"), strict=True):
        cell.fill(mark)
    expect(desk.locator("#worked-total")).to_contain_text("30 of 40")
    desk.locator("#c0-c-weight").fill("2")
    expect(desk.locator("#worked-total")).to_contain_text("46 of 60")
    expect(desk.locator("#worked-marks .total").first).to_have_text("26")
    assert [cell.input_value() for cell in cells.all()] == ["9", "8", "7", "6"]
    desk.get_by_label("Step 1").select_option("Looks marks on the sheets that count")
    expect(desk.locator("#worked")).to_contain_text("that decides")
    assert_accessible(desk)
    desk.locator("#id_name").fill("Our book")
    desk.get_by_role("button", name="Keep the rulebook").click()
    expect(desk.locator("h1")).to_have_text("Our book")
    assert_accessible(desk)
    book = Rulebook.objects.get(team=team)
    assert book.tie_break == ["sum:looks:kept"]
    assert [row.weight for row in book.criteria.all()] == [2, 1]


def test_rows_move_by_keyboard_and_nothing_typed_is_lost(desk, sign_in, member, url):
    sign_in(desk, member.user)
    desk.goto(url)
    fill(desk, 0, "Taste")
    fill(desk, 1, "Looks")
    desk.locator("#id_sheets_expected").fill("five")
    desk.get_by_role("button", name="Move down").first.press("Enter")
    expect(desk.locator("#c1-c-name")).to_have_value("Taste")
    expect(desk.locator("#c1-c-name")).to_be_focused()
    expect(desk.locator("#id_sheets_expected")).to_have_value("five")
    desk.get_by_role("button", name="Add a criterion").press("Enter")
    expect(desk.locator("#c4-c-name")).to_be_focused()


def test_on_a_phone_without_javascript(plain, sign_in, member, watch, team, url):
    watch.expect(422)
    sign_in(plain, member.user)
    plain.goto(url)
    fill(plain, 0, "Taste")
    plain.locator("#id_sheets_expected").fill("2")
    plain.locator("#example").get_by_role("button", name="Work it out").click()
    expect(plain.locator(".errorlist").first).to_contain_text("Give the rulebook a name.")
    expect(plain.locator("#worked-total")).to_contain_text("of 20")
    plain.get_by_role("button", name="Add a criterion").click()
    fill(plain, 4, "Smoke")
    plain.locator("#id_name").fill("Our book")
    assert sideways(plain) == 0
    plain.get_by_role("button", name="Keep the rulebook").click()
    expect(plain.locator("h1")).to_have_text("Our book")
    assert [row.key for row in Rulebook.objects.get(team=team).criteria.all()] == ["taste", "smoke"]
