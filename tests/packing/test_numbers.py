from datetime import date
from decimal import Decimal

import pytest

from teamops.calc.demand import Condition
from teamops.packing.queries import guess_numbers
from tests.factories.contests import CategoryFactory, ContestFactory, EntryFactory
from tests.factories.packing import PackingListFactory


@pytest.fixture
def contest(team):
    return ContestFactory(
        team=team, held_on=date(2099, 6, 12), site_power="no", site_water="yes", meat_issued="no",
        boxes_issued="yes",
    )  # fmt: skip


def test_numbers_come_from_the_contests(team, contest, owner, cook, helper, reader):
    EntryFactory.create_batch(2, contest=contest, category__team=team)
    dessert = CategoryFactory(team=team, name="Dessert", ancillary=True)
    EntryFactory(contest=contest, category=dessert, rulebook__sheets_expected=6)
    ContestFactory(team=team, trip=contest.trip, held_on=date(2099, 6, 13))
    EntryFactory(contest=ContestFactory(team=team, trip=contest.trip, state="cancelled"))
    initial = guess_numbers(contest.trip).initial
    assert (initial["entries"], initial["steaks"], initial["days"]) == (3, 2, 2)
    assert initial["judge_bites"] == 6
    assert (initial["cooks"], initial["people"], initial["cook_hours"]) == (2, 3, 4)
    assert initial["conditions"] == ["charcoal", "own_meat", "ancillary", "no_power_on_site"]


def test_the_trips_days_count_and_a_night_away(team, contest):
    trip = contest.trip
    trip.leaves_on, trip.home_on = date(2099, 6, 11), date(2099, 6, 13)
    initial = guess_numbers(trip).initial
    assert initial["days"] == 3
    assert "overnight" in initial["conditions"]


def test_what_was_chosen_by_hand_is_remembered(team, contest):
    PackingListFactory(
        trip__team=team, grills=2, trailers=1, cook_hours=Decimal("6.5"),
        conditions=["gas", "rain", "own_boxes", "no_ice_on_site"],
    )  # fmt: skip
    initial = guess_numbers(contest.trip).initial
    assert (initial["grills"], initial["trailers"], initial["cook_hours"]) == (2, 1, Decimal("6.5"))
    assert initial["conditions"] == [
        "gas", "own_meat", "rain", "no_power_on_site", "no_ice_on_site",
    ]  # fmt: skip


def test_what_is_not_known_is_said(team):
    contest = ContestFactory(team=team, name="Far Field", site_power="yes", meat_issued="yes")
    assert guess_numbers(contest.trip).unknown == (
        "Far Field: water on site, whether turn-in boxes are issued",
    )


def test_guessing_takes_the_same_queries(team, contest, django_assert_num_queries):
    EntryFactory.create_batch(5, contest=contest, category__team=team)
    with django_assert_num_queries(6):
        guess_numbers(contest.trip)


def test_a_trailer_speaks_for_itself(db):
    packing_list = PackingListFactory(trailers=1, conditions=["rain"])
    assert packing_list.conditions_on == {Condition.TRAILER, Condition.RAIN}
