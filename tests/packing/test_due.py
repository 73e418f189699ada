from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from teamops.packing.queries import due, lists_ahead, trip_rows
from tests.factories.contests import ContestFactory, TripFactory
from tests.factories.packing import PackingLineFactory, PackingListFactory, ShoppingLineFactory

LATE = date(2100, 1, 1)


def test_pack_and_buy_the_day_before(team, trip):
    packing_list = PackingListFactory(trip=trip, lines=2)
    PackingLineFactory(packing_list=packing_list, packed=True)
    PackingLineFactory(packing_list=packing_list, gone=True)
    ShoppingLineFactory(packing_list=packing_list)
    rows = due(team, LATE)
    assert [(row.on, row.what, row.where) for row in rows] == [
        (date(2099, 6, 11), "Buy 1 thing", "Gravel Bar"),
        (date(2099, 6, 11), "Pack 2 things more", "Gravel Bar"),
    ]
    assert rows[1].url == reverse("packing:show_list", args=[team.slug, packing_list.pk])
    assert due(team, date(2099, 6, 10)) == []


def test_the_trips_own_day_goes_before_the_contests(team, trip):
    trip.leaves_on = date(2099, 6, 10)
    trip.save()
    PackingListFactory(trip=trip, lines=1)
    assert [row.on for row in due(team, LATE)] == [date(2099, 6, 9)]


def test_leaving_today_is_due_today_and_a_trip_that_left_is_not(team):
    today = timezone.localdate(timezone=team.zone)
    for days in (0, -1):
        contest = ContestFactory(team=team, held_on=today + timedelta(days=days))
        PackingListFactory(trip=contest.trip, lines=1)
    assert [row.on for row in due(team, today)] == [today]


def test_what_is_bought_for_no_trip_is_due_now(team):
    ShoppingLineFactory(packing_list=None, team=team)
    ShoppingLineFactory()  # another team's
    assert [row.what for row in due(team, LATE)] == ["Buy 1 thing"]


def test_another_teams_packing_is_not_ours(team):
    PackingListFactory(lines=1, trip=ContestFactory(held_on=date(2099, 6, 12)).trip)
    assert due(team, LATE) == []


def test_the_first_contest_that_is_held_is_when_a_trip_leaves(team):
    """Neither one called off nor one that came later counts; with all of them off none leaves."""
    first = ContestFactory(team=team, held_on=date(2099, 6, 12))
    ContestFactory(team=team, trip=first.trip, held_on=date(2099, 6, 14))
    ContestFactory(team=team, trip=first.trip, held_on=date(2099, 6, 1), state="cancelled")
    off = ContestFactory(team=team, held_on=date(2099, 6, 12), state="withdrawn")
    for contest in (first, off):
        PackingListFactory(trip=contest.trip, lines=3)
    assert [(row.on, row.what) for row in due(team, LATE)] == [(date(2099, 6, 11), "Pack 3 things")]


def test_the_second_day_of_a_trip_is_no_longer_packed_for(team):
    """Gone yesterday, a contest today: its lists are not over, but nothing of them is due."""
    today = timezone.localdate(timezone=team.zone)
    contest = ContestFactory(team=team, held_on=today - timedelta(days=1))
    ContestFactory(team=team, trip=contest.trip, held_on=today)
    PackingListFactory(trip=contest.trip, lines=1)
    assert due(team, LATE) == []
    (row,) = lists_ahead(team, today).lists
    assert (row.lines, row.packed, row.leaves) == (1, 0, contest.held_on)


@pytest.mark.parametrize("trips", [1, 8])
def test_due_takes_three_queries(team, trips, django_assert_num_queries):
    for _ in range(trips):
        contest = ContestFactory(team=team, held_on=date(2099, 6, 12))
        PackingListFactory(trip=contest.trip, lines=2)
    with django_assert_num_queries(3):  # lists, their lines, the shopping list
        assert len(due(team, LATE)) == trips


def test_trips_coming_and_past(team, trip):
    past = ContestFactory(team=team, held_on=date(2020, 5, 2), name="Old")
    PackingListFactory(trip=past.trip, lines=1)
    TripFactory(team=team, name="Empty")
    ContestFactory(team=team, held_on=date(2020, 5, 9), name="Old without a list")
    ContestFactory(team=team, held_on=date(2099, 5, 2), state="withdrawn")
    PackingListFactory(trip=trip, lines=2)
    rows = trip_rows(team)
    assert [(row.name, row.progress) for row in rows.coming] == [("Gravel Bar", "0 of 2 packed")]
    assert [row.progress for row in rows.past] == ["0 of 1 packed"]
