"""A contest's weather, and what a category is cooked to: asked in the team's units."""

from decimal import Decimal

import pytest
from django.urls import reverse

from teamops.contests.models import Contest
from teamops.teams.models import Team
from tests.factories.contests import CategoryFactory, ContestFactory


@pytest.fixture
def contest(team):
    return ContestFactory(team=team, name="Mill Smoke")


def url_of(contest) -> str:
    return reverse("contests:change_contest", args=[contest.team.slug, contest.pk])


def typed(contest, **more: str) -> dict[str, str]:
    return {
        "name": contest.name,
        "held_on": contest.held_on.isoformat(),
        "time_zone": contest.time_zone,
        "kind": "judged",
        "state": "accepted",
        "seen": "1",
    } | more


@pytest.mark.parametrize(
    ("units", "value"),
    [("us", "78"), ("us", "100.1"), ("us", "21,5"), ("us", "0"), ("us", "-4"), ("si", "38.1"),
     ("si", "-4"), ("si", "0"), ("si", "21,5")],
)  # fmt: skip
def test_the_air_reads_back_as_it_was_typed(signed_in, team, contest, units, value):
    team.units = units
    team.save()
    sent = typed(contest, air_c=value, rain="yes", wind="no")
    assert signed_in.post(url_of(contest), sent).status_code == 302
    page = signed_in.get(url_of(contest)).content.decode()
    assert f'name="air_c" value="{value.replace(",", ".")}"' in page
    assert f"Air temperature, {'°F' if units == 'us' else '°C'}" in page
    contest.refresh_from_db()
    assert (contest.rain, contest.wind) == ("yes", "no")


@pytest.mark.parametrize(
    ("value", "words"), [("warm", "Write a number"), ("78.25", "to a tenth"), ("400", "in air")]
)
def test_what_is_no_air_is_said_at_its_field_and_stays_typed(signed_in, contest, value, words):
    answer = signed_in.post(url_of(contest), typed(contest, air_c=value))
    assert answer.status_code == 422
    assert words in str(answer.context["form"].errors["air_c"])
    page = answer.content.decode()
    assert f'value="{value}"' in page
    contest.refresh_from_db()
    assert contest.air_c is None


def test_the_weather_stands_on_the_page_of_the_contest(signed_in, contest):
    sent = typed(contest, air_c="78", rain="no", wind="yes")
    page = signed_in.post(url_of(contest), sent, follow=True).content.decode()
    assert "<dt>Weather</dt><dd>78 °F, dry, strong wind expected</dd>" in page
    bare = ContestFactory(team=contest.team)
    url = reverse("contests:show_contest", args=[contest.team.slug, bare.pk])
    assert "<dt>Weather</dt>" not in signed_in.get(url).content.decode()


def test_theirs_and_ours_are_in_the_units_of_the_team(signed_in, contest):
    Contest.objects.get(pk=contest.pk).claim(seen=1, by=None)
    contest.refresh_from_db()
    contest.air_c = Decimal("25.5556")
    contest.save()
    answer = signed_in.post(url_of(contest), typed(contest, air_c="81"))
    assert answer.status_code == 409
    assert ("Air temperature, °F", "78", "81") in answer.context["current"]


def aim_url(category) -> str:
    return reverse("contests:set_aim", args=[category.team.slug, category.pk])


@pytest.mark.parametrize("units", Team.Units.values)
@pytest.mark.parametrize("value", ["140.5", "58", "58,3"])
def test_an_aim_reads_back_as_it_was_typed(signed_in, team, units, value):
    team.units = units
    team.save()
    category = CategoryFactory(team=team)
    answer = signed_in.post(aim_url(category), {"aim_c": value, "next": "/t/oak-and-ash/ledger/"})
    assert answer["Location"] == "/t/oak-and-ash/ledger/"
    page = signed_in.get(aim_url(category)).content.decode()
    assert f'name="aim_c" value="{value.replace(",", ".")}"' in page
    signed_in.post(aim_url(category), {"aim_c": ""})
    category.refresh_from_db()
    assert category.aim_c is None


@pytest.mark.parametrize("elsewhere", ["https://elsewhere.example/", "//elsewhere.example", ""])
def test_the_way_back_stays_on_this_site(signed_in, team, elsewhere):
    category = CategoryFactory(team=team)
    answer = signed_in.post(aim_url(category), {"aim_c": "141", "next": elsewhere})
    assert answer["Location"] == reverse("insight:show_finish", args=[team.slug])


def test_an_aim_that_is_none_is_said_and_stays_typed(signed_in, team):
    category = CategoryFactory(team=team)
    answer = signed_in.post(aim_url(category), {"aim_c": "medium", "next": "/t/oak-and-ash/"})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "Write a number" in page
    assert 'value="medium"' in page
    assert 'name="next" value="/t/oak-and-ash/"' in page


def test_an_aim_is_for_those_who_plan_and_not_for_strangers(client, helper, stranger, team):
    url = aim_url(CategoryFactory(team=team))
    client.force_login(helper.user)
    assert client.post(url, {"aim_c": "141"}).status_code == 403
    client.force_login(stranger.user)
    assert client.post(url, {"aim_c": "141"}).status_code == 404


def test_the_published_minimum_stands_beside_the_aim_of_a_steak(signed_in, team):
    page = signed_in.get(aim_url(CategoryFactory(team=team))).content.decode()
    assert "An aim below 145 °F is under the published minimum for whole cuts of beef" in page
    dessert = CategoryFactory(team=team, name="Pie", ancillary=True)
    assert "beef" not in signed_in.get(aim_url(dessert)).content.decode()
