"""Last Sunday's sheets: from nothing to the score table in one press."""

from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from teamops.contests.models import Category, Contest, Entry
from teamops.contests.queries import today_of
from teamops.judging.forms.start import last_sunday
from tests.factories.contests import CategoryFactory, ContestFactory, EntryFactory
from tests.factories.rules import RulebookFactory


@pytest.fixture
def rulebook(db):
    return RulebookFactory(name="Open Slate")


def url_of(team) -> str:
    return reverse("judging:start_scores", args=[team.slug])


def typed(rulebook, /, **more: str) -> dict[str, str]:
    return {
        "name": "Mill Smoke",
        "held_on": "2026-06-14",
        "category_name": "Ribeye",
        "rulebook": str(rulebook.pk),
    } | more


@pytest.mark.parametrize(
    ("today", "sunday"),
    [("2026-06-14", "2026-06-14"), ("2026-06-15", "2026-06-14"), ("2026-06-20", "2026-06-14")],
)
def test_last_sunday(today, sunday):
    assert last_sunday(date.fromisoformat(today)) == date.fromisoformat(sunday)


def test_all_but_the_name_is_filled_in(signed_in, team, rulebook):
    RulebookFactory(name="Another")
    page = signed_in.get(url_of(team)).content.decode()
    assert f'value="{last_sunday(today_of(team)).isoformat()}"' in page
    assert 'value="Ribeye"' in page
    assert f'<option value="{rulebook.pk}" selected>Open Slate 1 · 5 criteria, 5 judges' in page


def test_one_press_leads_to_the_score_table(signed_in, team, rulebook):
    answer = signed_in.post(url_of(team), typed(rulebook))
    entry = Entry.objects.get()
    assert answer.url == reverse("judging:record_scores", args=[team.slug, entry.pk])
    contest = entry.contest
    assert (contest.name, contest.held_on, contest.state, contest.time_zone) == (
        "Mill Smoke", date(2026, 6, 14), Contest.State.COOKED, team.time_zone,
    )  # fmt: skip
    assert (entry.category.name, entry.rulebook) == ("Ribeye", rulebook)
    assert contest.trip.name == "Mill Smoke"
    assert "Appearance" in signed_in.get(answer.url).content.decode()


def test_the_same_press_twice_makes_one_contest(signed_in, team, rulebook):
    first = signed_in.post(url_of(team), typed(rulebook)).url
    assert signed_in.post(url_of(team), typed(rulebook, name="mill smoke")).url == first
    assert Contest.objects.count() == Entry.objects.count() == 1


def test_a_second_category_goes_to_the_same_contest(signed_in, team, rulebook):
    CategoryFactory(team=team, name="Dessert", ancillary=True)
    signed_in.post(url_of(team), typed(rulebook))
    signed_in.post(url_of(team), typed(rulebook, category_name=" dessert "))
    assert Contest.objects.count() == 1
    assert set(Entry.objects.values_list("category__name", flat=True)) == {"Ribeye", "Dessert"}
    assert Category.objects.get(name="Dessert").ancillary


def test_a_contest_that_is_there_is_taken_and_counts_as_cooked(signed_in, team, rulebook):
    contest = ContestFactory(team=team, name="Mill Smoke", held_on=date(2026, 6, 14))
    entry = EntryFactory(contest=contest, rulebook=rulebook)
    answer = signed_in.post(url_of(team), typed(rulebook))
    assert str(entry.pk) in answer.url
    contest.refresh_from_db()
    assert contest.state == Contest.State.COOKED


@pytest.mark.parametrize(
    ("more", "field"),
    [
        ({"name": ""}, "name"),
        ({"name": "a\0b"}, "name"),
        ({"held_on": "last Sunday"}, "held_on"),
        ({"held_on": str(timezone.now().date() + timedelta(days=9))}, "held_on"),
        ({"category_name": " "}, "category_name"),
        ({"rulebook": "0"}, "rulebook"),
    ],
)
def test_what_cannot_be_is_said_at_its_field(signed_in, team, rulebook, more, field):
    answer = signed_in.post(url_of(team), typed(rulebook, **more))
    assert answer.status_code == 422
    assert set(answer.context["form"].errors) == {field}
    assert not Contest.objects.exists()


def test_another_teams_rulebook_is_not_offered(signed_in, team, stranger, rulebook):
    theirs = RulebookFactory(team=stranger.team)
    answer = signed_in.post(url_of(team), typed(theirs))
    assert set(answer.context["form"].errors) == {"rulebook"}


def test_only_who_plans_may(client, helper, stranger):
    client.force_login(helper.user)
    assert client.get(url_of(helper.team)).status_code == 403
    client.force_login(stranger.user)
    assert client.get(url_of(helper.team)).status_code == 404
