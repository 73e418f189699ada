"""What other pages ask of the scores."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from teamops.contests.models import Contest
from teamops.judging import queries
from tests.factories.contests import ContestFactory, EntryFactory
from tests.factories.judging import scored_entry
from tests.judging.pages import FIVE, url_of

pytestmark = pytest.mark.django_db


def test_results_of_a_season_are_ours_oldest_first_practice_included(team):
    may = ContestFactory(team=team, held_on=date(2025, 5, 3))
    home = ContestFactory(team=team, held_on=date(2025, 4, 5), kind=Contest.Kind.PRACTICE)
    scored_entry(EntryFactory(contest=may), FIVE)
    scored_entry(EntryFactory(contest=may, category__name="Dessert"), placing=2)
    scored_entry(EntryFactory(contest=home), FIVE[:2])
    scored_entry(EntryFactory(contest=may, category__name="Nothing yet"))
    scored_entry(EntryFactory(), FIVE)
    seen = [(row.entry.contest, row.basis) for row in queries.season_results(team)]
    assert seen == [(home, "marks"), (may, "placing"), (may, "marks")]


def test_a_result_tells_every_criterions_account(team):
    entry = scored_entry(EntryFactory(contest__team=team), FIVE, official_total=214)
    (row,) = queries.season_results(team)
    assert (row.ours, row.posted, row.points, row.most) == (215, 214, 214, 250)
    assert row.has_losses
    doneness = next(line for line in row.criteria if line.key == "doneness")
    assert (doneness.name, doneness.judges, doneness.mean) == ("Doneness", 5, 8)
    assert (doneness.most, doneness.earned, doneness.lost) == (50, 40, 10)
    assert (doneness.least, doneness.top, doneness.step) == (1, 10, Decimal("0.5"))
    assert queries.entry_result(entry) == row


def test_a_placing_alone_has_no_points(team):
    scored_entry(EntryFactory(contest__team=team), placing=2)
    (row,) = queries.season_results(team)
    assert (row.points, row.has_losses, row.criteria) == (None, False, ())


def test_an_entry_without_scores_has_no_result(team):
    assert queries.entry_result(EntryFactory()) is None


@pytest.mark.parametrize("contests", [1, 8])
def test_a_season_takes_two_queries_however_long(team, contests, django_assert_num_queries):
    for _ in range(contests):
        scored_entry(EntryFactory(contest__team=team, contest__past=True), FIVE)
    with django_assert_num_queries(2):
        for row in queries.season_results(team):
            str(row.entry), row.entry.contest.name, row.entry.rulebook.name, row.criteria


@pytest.fixture
def today(team) -> date:
    return timezone.localdate(timezone=team.zone)


def cooked(team, days_ago: int, **more):
    held_on = timezone.localdate(timezone=team.zone) - timedelta(days=days_ago)
    return EntryFactory(
        contest__team=team, contest__name="Gravel Bar", contest__held_on=held_on, **more
    )


def test_papers_that_are_not_logged_are_due(team, today):
    entry = cooked(team, 1)
    (due,) = queries.due(team, today)
    assert due.what == "Log the score sheets of Gravel Bar (Ribeye)"
    assert (due.on, due.url) == (today - timedelta(days=1), url_of(entry))


@pytest.mark.parametrize(
    ("days_ago", "more"),
    [
        (0, {}),
        (-3, {}),
        (61, {}),
        (1, {"contest__kind": Contest.Kind.PRACTICE}),
        (1, {"contest__state": Contest.State.WITHDRAWN}),
        (1, {"contest__state": Contest.State.CANCELLED}),
        (1, {"contest__state": Contest.State.POSTPONED}),
        (1, {"disqualified": True}),
    ],
)
def test_papers_are_not_due(team, today, days_ago, more):
    cooked(team, days_ago, **more)
    assert queries.due(team, today) == []


def test_papers_are_due_the_same_evening_once_the_awards_are_over(team, today):
    cooked(team, 0, contest__awards_at=timezone.now() - timedelta(minutes=5))
    assert len(queries.due(team, today)) == 1


def test_logged_papers_are_not_due_and_nor_are_another_teams(team, today):
    scored_entry(cooked(team, 2), FIVE)
    scored_entry(cooked(team, 2, category__name="Dessert"), placing=1)
    EntryFactory(contest__held_on=today - timedelta(days=2))
    assert queries.due(team, today) == []
    scored_entry(cooked(team, 2, category__name="Chops"))  # opened and saved empty
    assert len(queries.due(team, today)) == 1


@pytest.mark.parametrize("entries", [1, 10])
def test_what_is_due_takes_one_query(team, today, entries, django_assert_num_queries):
    for number in range(entries):
        cooked(team, 2, category__name=f"Category {number}")
    with django_assert_num_queries(1):
        assert len(queries.due(team, today)) == entries


@pytest.mark.parametrize("judges", [1, 12])
def test_an_envelope_takes_as_many_queries_for_one_judge_as_for_twelve(
    team, judges, django_assert_num_queries
):
    entry = scored_entry(EntryFactory(contest__team=team), [FIVE[0]] * judges)
    with django_assert_num_queries(4):
        assert len(queries.envelope(entry).sheets) == judges


def test_a_placing_beyond_the_field_is_pointed_out(team):
    entry = scored_entry(EntryFactory(contest__team=team), FIVE, placing=12, field_size=10)
    assert "Placing 12 does not fit into a field of 10." in queries.envelope(entry).says
