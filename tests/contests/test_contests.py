"""Registering, changing and deleting contests."""

from datetime import UTC, date, datetime, timedelta

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from teamops.contests import actions
from teamops.contests.models import Contest, Trip
from teamops.teams.versions import Conflict
from tests.factories.contests import ContestFactory, EntryFactory, TripFactory
from tests.factories.teams import TeamFactory

DAY = "2027-06-12"


def fields(**more: str) -> dict[str, str]:
    """What a cook types at the least, and more."""
    return {
        "name": "Gravel Bar Final",
        "held_on": DAY,
        "time_zone": "America/Chicago",
        "kind": "judged",
        "state": "entered",
    } | more


@pytest.fixture
def add_url(team):
    return reverse("contests:add_contest", args=[team.slug])


def test_a_name_and_a_day_register_a_contest(signed_in, team, add_url):
    answer = signed_in.post(add_url, fields())
    contest = Contest.objects.get()
    assert answer.url == reverse("contests:show_contest", args=[team.slug, contest.pk])
    assert contest.trip.name == "Gravel Bar Final"
    assert contest.trip.team == contest.team == team
    assert contest.held_on == date(2027, 6, 12)
    assert contest.history.count() == 1


def test_times_are_typed_on_the_contests_own_clock(signed_in, add_url):
    signed_in.post(
        add_url,
        fields(time_zone="America/Denver", load_in_at_0=DAY, load_in_at_1="07:30"),
    )
    assert Contest.objects.get().load_in_at == datetime(2027, 6, 12, 13, 30, tzinfo=UTC)


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"held_on": "12th of June"}, "held_on", "Enter a valid date."),
        ({"deadline_on": "2027-06-13"}, "deadline_on", "must not be after the contest"),
        ({"fee": "-1"}, "fee", "A fee cannot be negative."),
        ({"fee": "much"}, "fee", "Enter a number."),
        ({"time_zone": "Steakland"}, "time_zone", "is not a time zone"),
        ({"notes": "x" * 10_000}, "notes", "at most 4000 characters"),
        ({"name": "Bar\x00"}, "name", "holds a character that cannot be stored"),
        ({"wait_list_place": "0", "state": "wait_list"}, "wait_list_place", "greater than"),
        ({"load_in_at_0": "", "load_in_at_1": "07:30"}, "load_in_at", "Give the day as well."),
        ({"load_in_at_0": DAY, "load_in_at_1": "half 8"}, "load_in_at", "hours and minutes"),
        (
            {"load_in_at_0": "2027-03-14", "load_in_at_1": "02:30"},
            "load_in_at",
            "does not exist on that day",
        ),
        (
            {"load_in_at_0": "2026-11-01", "load_in_at_1": "01:30"},
            "load_in_at",
            "comes twice on that day",
        ),
    ],
)
def test_bad_input_is_said_next_to_the_field_and_kept(signed_in, add_url, typed, field, words):
    answer = signed_in.post(add_url, fields(place="Shinglestrand") | typed)
    assert answer.status_code == 422
    form = answer.context["form"]
    assert words in " ".join(form.errors[field])
    assert list(form.errors) == [field]
    page = answer.content.decode()
    assert "Shinglestrand" in page
    assert not Contest.objects.exists()
    for value in typed.values():
        assert value.replace("\x00", "") in page.replace("\x00", "")


@pytest.mark.parametrize("name", ["🔥🥩", "מחרוזת אש", "جائزة", "Ωμέγα", "<b>bold</b> & co"])
def test_any_script_is_a_name(signed_in, add_url, name):
    answer = signed_in.post(add_url, fields(name=name), follow=True)
    assert Contest.objects.get().name == name
    assert "<b>bold</b>" not in answer.content.decode()


def test_a_double_shares_a_trip(signed_in, team, add_url):
    trip = TripFactory(team=team)
    signed_in.post(add_url, fields(trip=str(trip.pk)))
    assert Contest.objects.get().trip == trip


def test_another_teams_trip_is_refused(signed_in, team, add_url):
    answer = signed_in.post(add_url, fields(trip=str(TripFactory().pk)))
    assert "trip" in answer.context["form"].errors


def test_another_day_takes_the_windows_along(cook):
    """1:00 pm stays 1:00 pm: over the clock change, too."""
    contest = ContestFactory(
        team=cook.team,
        held_on=date(2027, 3, 13),
        load_in_at=datetime(2027, 3, 13, 13, 0, tzinfo=UTC),
    )
    entry = EntryFactory(
        contest=contest,
        window_opens_at=datetime(2027, 3, 13, 19, 0, tzinfo=UTC),
        window_closes_at=datetime(2027, 3, 13, 19, 15, tzinfo=UTC),
    )
    contest.held_on = date(2027, 3, 14)
    actions.change_contest(contest=contest, seen=1, by=cook.user)
    entry.refresh_from_db()
    contest.refresh_from_db()
    assert contest.load_in_at == datetime(2027, 3, 14, 12, 0, tzinfo=UTC)
    assert entry.window_opens_at == datetime(2027, 3, 14, 18, 0, tzinfo=UTC)
    assert entry.window_closes_at - entry.window_opens_at == timedelta(minutes=15)


def test_another_clock_keeps_the_wall_time(cook):
    contest = ContestFactory(team=cook.team, held_on=date(2027, 6, 12))
    entry = EntryFactory(contest=contest, window_closes_at=datetime(2027, 6, 12, 18, 0, tzinfo=UTC))
    contest.time_zone = "America/Denver"
    actions.change_contest(contest=contest, seen=1, by=cook.user)
    entry.refresh_from_db()
    assert entry.window_closes_at == datetime(2027, 6, 12, 19, 0, tzinfo=UTC)


def test_a_moment_typed_anew_is_left_as_typed(cook):
    contest = ContestFactory(
        team=cook.team,
        held_on=date(2027, 6, 12),
        load_in_at=datetime(2027, 6, 12, 13, 0, tzinfo=UTC),
    )
    contest.held_on = date(2027, 6, 13)
    contest.load_in_at = typed = datetime(2027, 6, 12, 23, 0, tzinfo=UTC)
    actions.change_contest(contest=contest, seen=1, by=cook.user)
    contest.refresh_from_db()
    assert contest.load_in_at == typed


def test_two_people_changing_one_contest_see_each_other(signed_in, team, member):
    contest = ContestFactory(team=team, name="Old name", held_on=date(2027, 6, 12))
    url = reverse("contests:change_contest", args=[team.slug, contest.pk])
    assert signed_in.post(url, fields(name="Theirs", seen="1")).status_code == 302
    answer = signed_in.post(url, fields(name="Mine", seen="1"))
    page = answer.content.decode()
    assert answer.status_code == 409
    assert "Theirs" in page
    assert 'value="Mine"' in page
    contest.refresh_from_db()
    assert contest.name == "Theirs"
    seen = answer.context["seen"]
    assert signed_in.post(url, fields(name="Mine", seen=str(seen))).status_code == 302
    contest.refresh_from_db()
    assert contest.name == "Mine"


def test_a_stale_claim_is_a_conflict_and_writes_nothing(cook):
    contest = ContestFactory(team=cook.team, name="As it was", version=3)
    contest.name = "Never"
    with pytest.raises(Conflict):
        actions.change_contest(contest=contest, seen=2, by=cook.user)
    assert Contest.objects.get().name == "As it was"


def test_an_unlisted_contest_forgets_its_place_on_the_wait_list(signed_in, team):
    contest = ContestFactory(team=team, state="wait_list", wait_list_place=4)
    url = reverse("contests:change_contest", args=[team.slug, contest.pk])
    signed_in.post(url, fields(state="accepted", wait_list_place="4", seen="1"))
    contest.refresh_from_db()
    assert (contest.state, contest.wait_list_place) == ("accepted", None)


def test_a_contest_goes_with_its_trip(signed_in, team):
    contest = ContestFactory(team=team)
    EntryFactory(contest=contest)
    url = reverse("contests:delete_contest", args=[team.slug, contest.pk])
    assert "Delete" in signed_in.get(url).content.decode()
    assert Contest.objects.exists()
    signed_in.post(url)
    assert not Contest.objects.exists()
    assert not Trip.objects.exists()


def test_a_trip_that_another_contest_needs_stays(cook):
    first = ContestFactory(team=cook.team)
    second = ContestFactory(team=cook.team, trip=first.trip)
    actions.delete_contest(contest=first)
    assert Trip.objects.get() == second.trip


def test_cooked_is_said_once_and_not_of_what_was_called_off(cook):
    contest = ContestFactory(team=cook.team, state="paid")
    actions.mark_cooked(contest=contest, by=cook.user)
    actions.mark_cooked(contest=contest, by=cook.user)
    assert (contest.state, contest.version) == ("cooked", 2)
    off = ContestFactory(team=cook.team, state="cancelled")
    actions.mark_cooked(contest=off, by=cook.user)
    assert off.state == "cancelled"


def test_another_teams_contest_is_not_found(signed_in, team):
    theirs = ContestFactory(team=TeamFactory())
    for name in ("show_contest", "change_contest", "delete_contest", "show_prep", "print_prep"):
        url = reverse(f"contests:{name}", args=[team.slug, theirs.pk])
        assert signed_in.get(url).status_code == 404


def test_a_team_can_be_deleted_with_all_it_has(team):
    EntryFactory(contest=ContestFactory(team=team))
    team.delete()
    assert not Contest.objects.exists()


@pytest.mark.parametrize("many", [1, 9])
def test_list_takes_the_same_queries_however_many(many, signed_in, team, django_assert_num_queries):
    for _ in range(many):
        EntryFactory(contest=ContestFactory(team=team))
    with django_assert_num_queries(5):  # session, person, door, contests, entries
        signed_in.get(reverse("contests:show_contests", args=[team.slug]))


@pytest.mark.parametrize(
    "row",
    [
        {"deadline_on": timezone.now().date() + timedelta(days=99)},
        {"fee": -1},
    ],
)
def test_constraints(team, row):
    with pytest.raises(IntegrityError), transaction.atomic():
        ContestFactory(team=team, **row)


def test_a_trip_leaves_before_it_comes_home(team):
    with pytest.raises(IntegrityError), transaction.atomic():
        TripFactory(team=team, leaves_on=date(2027, 6, 13), home_on=date(2027, 6, 12))
