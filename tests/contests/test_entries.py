"""Boxes and their windows."""

from datetime import UTC, date, datetime

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from teamops.contests.models import Category, Entry
from tests.factories.contests import CategoryFactory, ContestFactory, EntryFactory
from tests.factories.rules import RulebookFactory
from tests.factories.teams import MembershipFactory

DAY = "2027-06-12"


@pytest.fixture
def contest(team):
    return ContestFactory(team=team, held_on=date(2027, 6, 12), time_zone="America/Denver")


@pytest.fixture
def rulebook(db):
    return RulebookFactory(window_minutes=15)


def fields(book, /, **more: str) -> dict[str, str]:
    return {
        "category_name": "Ribeye",
        "rulebook": str(book.pk),
        "window_opens_at_0": DAY,
        "window_opens_at_1": "13:00",
        "window_closes_at_0": DAY,
        "window_closes_at_1": "",
    } | more


def add_url(contest) -> str:
    return reverse("contests:add_entry", args=[contest.team.slug, contest.pk])


def test_the_contests_day_is_there_already(signed_in, contest):
    page = signed_in.get(add_url(contest)).content.decode()
    assert 'name="window_opens_at_0" value="2027-06-12"' in page
    assert 'name="window_closes_at_0" value="2027-06-12"' in page


def test_an_entry_closes_after_the_rulebooks_window(signed_in, contest, rulebook):
    signed_in.post(add_url(contest), fields(rulebook))
    entry = Entry.objects.get()
    assert entry.window_opens_at == datetime(2027, 6, 12, 19, 0, tzinfo=UTC)
    assert entry.window_closes_at == datetime(2027, 6, 12, 19, 15, tzinfo=UTC)
    assert entry.category.name == "Ribeye"


def test_a_day_without_a_time_is_no_window_yet(signed_in, contest, rulebook):
    signed_in.post(add_url(contest), fields(rulebook, window_opens_at_1=""))
    entry = Entry.objects.get()
    assert entry.window_opens_at is None
    assert entry.window_closes_at is None


def test_a_window_past_midnight(signed_in, contest, rulebook):
    typed = fields(
        rulebook,
        window_opens_at_1="23:55",
        window_closes_at_0="2027-06-13",
        window_closes_at_1="00:10",
    )
    signed_in.post(add_url(contest), typed)
    page = signed_in.get(reverse("contests:show_contest", args=[contest.team.slug, contest.pk]))
    assert "Turn in 11:55 pm to 12:10 am Sun 13 Jun" in page.content.decode()


def test_a_window_that_closes_before_it_opens_is_said_at_its_field(signed_in, contest, rulebook):
    typed = fields(rulebook, window_closes_at_1="12:45", team_number="77")
    answer = signed_in.post(add_url(contest), typed)
    assert answer.status_code == 422
    assert answer.context["form"].errors == {
        "window_closes_at": ["The turn-in window must open before it closes."]
    }
    page = answer.content.decode()
    assert 'value="12:45"' in page
    assert 'value="77"' in page
    assert not Category.objects.exists()


def test_a_category_is_found_whatever_its_case(signed_in, contest, rulebook):
    CategoryFactory(team=contest.team, name="Ribeye")
    signed_in.post(add_url(contest), fields(rulebook, category_name="  ribeye "))
    assert Entry.objects.get().category.name == "Ribeye"
    assert Category.objects.count() == 1


def test_two_boxes_in_a_category_are_normal_two_of_one_number_are_pointed_out(
    signed_in, contest, rulebook
):
    """An organiser may give one number twice: it is kept, and said."""
    signed_in.post(add_url(contest), fields(rulebook, blind_number="12"))
    signed_in.post(add_url(contest), fields(rulebook))
    answer = signed_in.post(add_url(contest), fields(rulebook))
    assert Entry.objects.count() == 3
    answer = signed_in.post(add_url(contest), fields(rulebook, blind_number="12"), follow=True)
    assert Entry.objects.filter(blind_number="12").count() == 2
    assert "Blind number 12 is on another box of this category too." in answer.content.decode()


def test_only_the_teams_people_and_rulebooks_are_offered(signed_in, contest, rulebook):
    theirs = RulebookFactory(team=MembershipFactory().team)
    stranger = MembershipFactory()
    typed = fields(rulebook, rulebook=str(theirs.pk), cook_of_record=str(stranger.user.pk))
    answer = signed_in.post(add_url(contest), typed)
    assert set(answer.context["form"].errors) == {"rulebook", "cook_of_record"}


def test_two_people_changing_one_entry_see_each_other(signed_in, contest, rulebook):
    entry = EntryFactory(contest=contest, rulebook=rulebook)
    url = reverse("contests:change_entry", args=[contest.team.slug, entry.pk])
    assert signed_in.post(url, fields(rulebook, team_number="1", seen="1")).status_code == 302
    answer = signed_in.post(url, fields(rulebook, team_number="2", seen="1"))
    assert answer.status_code == 409
    assert ("Team number", "1", "2") in answer.context["current"]
    assert 'value="2"' in answer.content.decode()
    entry.refresh_from_db()
    assert entry.team_number == "1"


def test_a_rulebook_that_sheets_are_written_under_stays(signed_in, contest, rulebook):
    entry = EntryFactory(
        contest=contest, rulebook=rulebook, marked_at=datetime(2027, 6, 13, tzinfo=UTC)
    )
    url = reverse("contests:change_entry", args=[contest.team.slug, entry.pk])
    assert "so it stays" in signed_in.get(url).content.decode()
    signed_in.post(url, fields(RulebookFactory(), seen="1", team_number="9"))
    entry.refresh_from_db()
    assert (entry.rulebook, entry.team_number) == (rulebook, "9")


def test_changing_shows_the_window_on_the_contests_clock(signed_in, contest):
    entry = EntryFactory(contest=contest, window_opens_at=datetime(2027, 6, 12, 19, 0, tzinfo=UTC))
    url = reverse("contests:change_entry", args=[contest.team.slug, entry.pk])
    page = signed_in.get(url).content.decode()
    assert 'name="window_opens_at_1" value="13:00"' in page


def test_deleting_an_entry(signed_in, contest):
    entry = EntryFactory(contest=contest)
    url = reverse("contests:delete_entry", args=[contest.team.slug, entry.pk])
    assert signed_in.post(url).status_code == 302
    assert signed_in.post(url).status_code == 404
    assert not Entry.objects.exists()


def test_another_teams_entry_is_not_found(signed_in, team):
    entry = EntryFactory()
    url = reverse("contests:change_entry", args=[team.slug, entry.pk])
    assert signed_in.get(url).status_code == 404


@pytest.mark.parametrize(
    "row",
    [
        {
            "window_opens_at": datetime(2027, 6, 12, 19, 0, tzinfo=UTC),
            "window_closes_at": datetime(2027, 6, 12, 19, 0, tzinfo=UTC),
        },
        {"turned_in_at": datetime(2027, 6, 12, 19, 0, tzinfo=UTC)},
    ],
)
def test_constraints(contest, row):
    with pytest.raises(IntegrityError), transaction.atomic():
        EntryFactory(contest=contest, **row)


def test_a_contest_that_differs_is_written_and_chosen_on_the_way_back(signed_in, contest, rulebook):
    entry = EntryFactory(contest=contest, rulebook=rulebook)
    url = reverse("contests:change_entry", args=[contest.team.slug, entry.pk])
    write = reverse("rules:make_exception", args=[contest.team.slug, rulebook.pk])
    page = signed_in.get(url)
    assert f'href="{write}?next={url}"' in page.content.decode()
    own = RulebookFactory(
        team=contest.team, follows=rulebook, family=rulebook.family, exception_why="Six judges sat"
    )
    chosen = signed_in.get(f"{url}?rulebook={own.pk}").context["form"]["rulebook"]
    assert chosen.value() == str(own.pk)
    for no_book in (RulebookFactory(team=MembershipFactory().team).pk, "nothing"):
        form = signed_in.get(f"{url}?rulebook={no_book}").context["form"]
        assert form["rulebook"].value() == rulebook.pk
