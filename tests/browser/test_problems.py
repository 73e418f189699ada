"""After an error on a long form the eye is led to it, with JavaScript and without."""

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from teamops.contests.models import Contest
from tests.browser.chromium import Watch
from tests.browser.conftest import SignIn, assert_accessible
from tests.factories.teams import MembershipFactory

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.mark.parametrize("kind", ["phone", "plain"])
def test_an_error_far_down_is_said_first_and_one_press_away(
    kind: str, request: pytest.FixtureRequest, sign_in: SignIn, watch: Watch, transactional_db: None
) -> None:
    page: Page = request.getfixturevalue(kind)
    member = MembershipFactory()
    sign_in(page, member.user)
    page.goto(reverse("contests:add_contest", args=[member.team.slug]))
    page.get_by_label("Name", exact=True).fill("Gravel Bar Final")
    page.get_by_label("Date").fill("2027-06-12")
    page.get_by_text("Fees and deposit").click()
    page.get_by_label("Late fee (optional)").fill("much")
    watch.expect(422)
    page.get_by_role("button", name="Add the contest").click()
    problems = page.get_by_role("region", name="1 thing needs a look")
    expect(problems).to_be_focused()
    expect(problems).to_be_in_viewport()
    if kind == "phone":  # axe itself is a script
        assert_accessible(page)
    problems.get_by_role("link", name="Late fee").press("Enter")
    late = page.get_by_label("Late fee (optional)")
    expect(late).to_be_focused()
    expect(late).to_be_in_viewport()
    expect(late).to_have_value("much")
    late.fill("180")
    page.get_by_role("button", name="Add the contest").click()
    expect(page.get_by_role("heading", name="Gravel Bar Final")).to_be_visible()
    assert Contest.objects.get().late_fee == 180
