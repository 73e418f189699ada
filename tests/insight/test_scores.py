"""What every box got, newest first."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse

from teamops.insight.queries import scores_page
from tests.factories.contests import CategoryFactory, ContestFactory, EntryFactory
from tests.insight.conftest import TODAY
from tests.insight.pages import text_of


def rows(team, **chosen):
    asked = {"category": None, "season": None, "page": 1} | chosen
    page = scores_page(team, TODAY, **asked)
    return [row for _, some in page.seasons for row in some]


def test_newest_first_by_season(team, cook_contest):
    cook_contest(9, 9, 9, 9, 9, weeks=30, name="Last year's")
    cook_contest(9, 9, 9, 9, 9, weeks=2, name="The older")
    cook_contest(9, 9, 9, 9, 9, weeks=1, name="The newer")
    page = scores_page(team, TODAY, category=None, season=None, page=1)
    assert [year for year, _ in page.seasons] == [2027, 2026]
    assert [row.contest for row in rows(team)] == ["The newer", "The older", "Last year's"]


@pytest.mark.parametrize(
    ("more", "got", "stamps"),
    [
        ({"placing": 3, "field_size": 42}, "225 of 250, 3rd of 42", []),
        ({"official_total": Decimal(225)}, "225 of 250", []),
        ({"official_total": Decimal(215)}, "215", ["our sum 225"]),
        ({"disqualified": True}, "225 of 250", ["disqualified"]),
        ({"table": [], "placing": 7}, "7th", ["placing only"]),
        ({"table": [], "official_total": Decimal("201.5")}, "201.5", ["posted total only"]),
        ({"table": []}, "", ["no papers yet"]),
        ({"table": [], "disqualified": True}, "", ["disqualified"]),
        ({"table": [[9, 9, 9, 9, 11]]}, "47 of 50", ["odd papers"]),
    ],
)
def test_each_box_says_what_it_got_and_what_is_missing(team, cook_contest, more, got, stamps):
    cook_contest(9, 9, 9, 9, 9, **more)
    (row,) = rows(team)
    assert row.result.words == got
    said = [word for word, _ in row.result.stamps]
    assert said[: len(stamps)] == stamps


def test_what_is_to_come_or_was_called_off_is_not_a_result(team, cook_contest):
    cook_contest(9, 9, 9, 9, 9)
    EntryFactory(contest=ContestFactory(team=team, held_on=TODAY + timedelta(days=4)))
    EntryFactory(
        contest=ContestFactory(team=team, held_on=TODAY - timedelta(days=4), state="cancelled")
    )
    EntryFactory(contest__held_on=TODAY - timedelta(days=4))
    assert len(rows(team)) == 1


def test_filters_by_category_and_season(team, cook_contest):
    cook_contest(9, 9, 9, 9, 9, weeks=1)
    chicken = cook_contest(9, 9, 9, 9, 9, weeks=2, category="Chicken")
    cook_contest(9, 9, 9, 9, 9, weeks=30)
    assert [row.result.category for row in rows(team, category=chicken.category_id)] == ["Chicken"]
    assert len(rows(team, season=2027)) == 2
    assert len(rows(team, season=2026)) == 1


def test_a_long_list_comes_in_pages(open_page, cook_contest):
    contest = cook_contest(9, 9, 9, 9, 9).contest
    category = CategoryFactory(team=contest.team)
    EntryFactory.create_batch(44, contest=contest, category=category)
    first = open_page("show_scores")
    assert "Page 1 of 2, 45 boxes" in text_of(first)
    assert 'href="?page=2"' in first.content.decode()
    second = open_page("show_scores", query="page=2&season=2027")
    assert len(second.context["scores"].seasons[0][1]) == 5
    assert 'href="?page=1&amp;season=2027"' in second.content.decode()
    assert open_page("show_scores", query="page=99").context["scores"].page == 2


@pytest.mark.parametrize(
    ("query", "field"),
    [
        ("category=beef", "category"),
        ("category=%00", "category"),
        ("season=soon", "season"),
        ("season=1999", "season"),
        ("page=first", "page"),
        ("page=-1", "page"),
    ],
)
def test_a_bad_choice_is_said(open_page, cook_contest, query, field):
    cook_contest(9, 9, 9, 9, 9)
    answer = open_page("show_scores", query=query)
    assert answer.status_code == 422
    assert list(answer.context["form"].errors) == [field]
    assert 'class="errorlist"' in answer.content.decode()


def test_another_teams_category_is_no_choice(open_page, stranger):
    theirs = CategoryFactory(team=stranger.team)
    assert open_page("show_scores", query=f"category={theirs.pk}").status_code == 422


def test_each_row_leads_to_its_account_and_its_sheets(open_page, cook_contest, team):
    entry = cook_contest(9, 9, 9, 9, 9)
    page = open_page("show_scores").content.decode()
    assert reverse("insight:show_entry", args=[team.slug, entry.pk]) in page
    assert reverse("judging:record_scores", args=[team.slug, entry.pk]) in page


def test_an_empty_page_says_what_will_stand_there(open_page):
    assert "No result yet." in text_of(open_page("show_scores"))


@pytest.mark.parametrize("contests", [1, 8])
def test_the_page_takes_seven_queries_however_many_results(
    open_page, cook_contest, contests, django_assert_num_queries
):
    for weeks in range(1, contests + 1):
        cook_contest(9, 9, 9, 9, 9, weeks=weeks, judges=1)
    with django_assert_num_queries(7):  # three of them sign in
        open_page("show_scores")
