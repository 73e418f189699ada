"""Registering, changing and deleting contests."""

from datetime import UTC, date, datetime, timedelta

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from teamops.contests import actions, queries
from teamops.contests.models import Contest, Trip
from teamops.teams.versions import Conflict
from tests.factories.contests import (
    ContestFactory,
    EntryFactory,
    PaymentFactory,
    TaskFactory,
    TeamPaperFactory,
    TripFactory,
)
from tests.factories.rules import RulebookFactory
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


def test_a_city_is_clock_enough_and_the_times_are_by_it(signed_in, add_url):
    typed = fields(time_zone="denver", load_in_at_0=DAY, load_in_at_1="07:30")
    assert signed_in.post(add_url, typed).status_code == 302
    contest = Contest.objects.get()
    assert contest.time_zone == "America/Denver"
    assert contest.load_in_at == datetime(2027, 6, 12, 13, 30, tzinfo=UTC)


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
        (
            {"entries_open_at_0": "", "entries_open_at_1": "09:00"},
            "entries_open_at",
            "Give the day as well.",
        ),
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


def test_a_time_alone_is_on_the_contests_day(signed_in, team, add_url):
    signed_in.post(add_url, fields(meeting_at_0="", meeting_at_1="08:00"))
    contest = Contest.objects.get()
    assert contest.meeting_at == datetime(2027, 6, 12, 13, 0, tzinfo=UTC)
    url = reverse("contests:change_contest", args=[team.slug, contest.pk])
    page = signed_in.get(url).content.decode()
    assert 'name="awards_at_0" value="2027-06-12"' in page
    assert 'Awards <span class="optional">(optional)</span></legend>' in page
    moved = {"held_on": "2027-06-19", "awards_at_0": "2027-06-12", "awards_at_1": "17:00"}
    signed_in.post(url, fields(meeting_at_0="2027-06-12", meeting_at_1="08:00", seen="1", **moved))
    contest.refresh_from_db()
    assert contest.awards_at == datetime(2027, 6, 19, 22, 0, tzinfo=UTC)
    assert contest.meeting_at == datetime(2027, 6, 19, 13, 0, tzinfo=UTC)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        (("meeting_at", "2027-06-14", "08:00"), "Cooks’ meeting: after the day of the contest."),
        (("meeting_at", DAY, "13:30"), "Cooks’ meeting: after the first turn-in, 1:00 pm."),
        (("load_in_at", DAY, "13:01"), "Load-in: after the first turn-in, 1:00 pm."),
        (("awards_at", DAY, "13:10"), "Awards: before the last turn-in closes, 1:15 pm."),
        (("awards_at", "2027-06-11", "17:00"), "Awards: before the last turn-in closes, 1:15 pm."),
    ],
)
def test_odd_days_are_stored_and_said(signed_in, team, typed, words):
    contest = ContestFactory(team=team, held_on=date(2027, 6, 12))
    EntryFactory(
        contest=contest,
        window_opens_at=datetime(2027, 6, 12, 18, 0, tzinfo=UTC),
        window_closes_at=datetime(2027, 6, 12, 18, 15, tzinfo=UTC),
    )
    url = reverse("contests:change_contest", args=[team.slug, contest.pk])
    name, day, time = typed
    answer = signed_in.post(
        url, fields(seen="1", **{f"{name}_0": day, f"{name}_1": time}), follow=True
    )
    page = answer.content.decode()
    assert page.count(words) == 1  # said after saving
    assert f'<span class="stamp due">{words.split(": ")[1][:-1]}</span>' in page  # and beside it
    contest.refresh_from_db()
    assert getattr(contest, name) is not None
    again = signed_in.get(reverse("contests:show_contest", args=[team.slug, contest.pk]))
    assert words not in again.content.decode()


def test_days_that_are_as_they_should_be_say_nothing(team):
    contest = ContestFactory(
        team=team,
        held_on=date(2027, 6, 12),
        load_in_at=datetime(2027, 6, 11, 20, 0, tzinfo=UTC),
        meeting_at=datetime(2027, 6, 12, 13, 0, tzinfo=UTC),
        awards_at=datetime(2027, 6, 13, 3, 0, tzinfo=UTC),  # ten in the evening there
    )
    entry = EntryFactory(contest=contest, window_closes_at=datetime(2027, 6, 12, 18, tzinfo=UTC))
    assert queries.contest_warnings(contest, [entry]) == {}


def test_odd_fees_are_stored_and_said(signed_in, team, add_url):
    page = signed_in.post(
        add_url,
        fields(early_fee="120", late_fee="180", deposit="50", least_field="20",
               entries_open_at_0="2027-03-01", entries_open_at_1="09:00",
               deadline_on="2027-02-01"),
        follow=True,
    ).content.decode()  # fmt: skip
    contest = Contest.objects.get()
    assert (contest.early_fee, contest.late_fee, contest.least_field) == (120, 180, 20)
    assert contest.entries_open_at == datetime(2027, 3, 1, 15, 0, tzinfo=UTC)
    assert "Early fee: until when it holds is not known, so it is not counted." in page
    assert "Late fee: from when it holds is not known, so it is not counted." in page
    assert "Entries open: after the entry deadline." in page
    assert "at least 20 entries" in page
    early = {"early_until_on": date(2027, 5, 3), "late_from_on": date(2027, 5, 3)}
    odd = queries.contest_warnings(ContestFactory.build(team=team, **early), [])
    assert "early fee is counted first" in odd["late_fee"]


def test_an_error_opens_its_group_and_leads_there(signed_in, add_url):
    answer = signed_in.post(add_url, fields(late_fee="much"))
    page = answer.content.decode()
    assert '<a href="#id_late_fee">Late fee</a>: Enter a number.' in page
    assert page.index("needs a look") < page.index('name="name"')
    fold = page.index('id="id_late_fee"')
    assert page.rindex("<details", 0, fold) == page.rindex('<details class="how" open>', 0, fold)


def test_postponing_keeps_the_old_day_and_moves_what_hangs_on_it(signed_in, team):
    contest = ContestFactory(
        team=team, state="paid", held_on=date(2027, 6, 12),
        meeting_at=datetime(2027, 6, 12, 13, 0, tzinfo=UTC), deadline_on=date(2027, 6, 1),
    )  # fmt: skip
    entry = EntryFactory(contest=contest, window_opens_at=datetime(2027, 6, 12, 18, tzinfo=UTC))
    url = reverse("contests:postpone_contest", args=[team.slug, contest.pk])
    assert "Saturday, 12 June 2027" in signed_in.get(url).content.decode()
    typed = {"to": "2027-07-03", "why": "Flood on the bar", "seen": "1"}
    page = signed_in.post(url, typed, follow=True).content.decode()
    contest.refresh_from_db()
    entry.refresh_from_db()
    assert (contest.held_on, contest.was_held_on) == (date(2027, 7, 3), date(2027, 6, 12))
    assert (contest.state, contest.state_why) == ("paid", "Flood on the bar")
    assert contest.meeting_at == datetime(2027, 7, 3, 13, 0, tzinfo=UTC)
    assert entry.window_opens_at == datetime(2027, 7, 3, 18, tzinfo=UTC)
    assert "Moved from 12 June 2027." in page
    assert "Flood on the bar" in page
    back = {"to": "2027-06-12", "why": "", "seen": "2"}
    signed_in.post(url, back)
    contest.refresh_from_db()
    assert (contest.held_on, contest.was_held_on) == (date(2027, 6, 12), None)


def test_postponed_to_nobody_knows_when_and_on_again(signed_in, team):
    contest = ContestFactory(team=team, state="accepted", held_on=date(2027, 6, 12))
    url = reverse("contests:postpone_contest", args=[team.slug, contest.pk])
    page = signed_in.post(url, {"to": "", "why": "Flood", "seen": "1"}, follow=True)
    assert "Postponed, was to be on 12 June 2027." in page.content.decode()
    contest.refresh_from_db()
    assert (contest.state, contest.was_held_on) == ("postponed", date(2027, 6, 12))
    signed_in.post(url, {"to": "2027-07-03", "why": "Flood", "seen": "2"})
    contest.refresh_from_db()
    assert (contest.state, contest.held_on) == ("accepted", date(2027, 7, 3))
    assert contest.was_held_on == date(2027, 6, 12)


def test_postponed_and_undone_by_choosing_a_state(signed_in, team):
    contest = ContestFactory(team=team, held_on=date(2027, 6, 12))
    url = reverse("contests:change_contest", args=[team.slug, contest.pk])
    signed_in.post(url, fields(state="postponed", state_why="Flood", seen="1"))
    contest.refresh_from_db()
    assert contest.was_held_on == contest.held_on
    typed = {"state_why": "Flood", "was_held_on": "2027-06-12", "seen": "2"}
    signed_in.post(url, fields(state="accepted", **typed))
    contest.refresh_from_db()
    assert (contest.was_held_on, contest.state_why) == (None, "")


def test_an_earlier_day_takes_the_deadline_along(cook):
    contest = ContestFactory(
        team=cook.team, held_on=date(2027, 6, 12), deadline_on=date(2027, 6, 10)
    )
    actions.postpone_contest(contest=contest, to=date(2027, 6, 5), why="", seen=1, by=cook.user)
    assert Contest.objects.get().deadline_on == date(2027, 6, 5)


@pytest.mark.parametrize("state", ["cancelled", "withdrawn"])
def test_calling_off_asks_why_and_a_state_brings_it_back(signed_in, team, state):
    contest = ContestFactory(team=team, held_on=date(2027, 6, 12))
    url = reverse("contests:call_off_contest", args=[team.slug, contest.pk])
    for seen in ("1", "2"):  # said twice
        page = signed_in.post(
            url, {"state": state, "why": "Too few entries", "seen": seen}, follow=True
        ).content.decode()
    assert "Too few entries" in page
    assert f"<b>{state.capitalize()}.</b>" in page
    change = reverse("contests:change_contest", args=[team.slug, contest.pk])
    signed_in.post(change, fields(state="entered", state_why="Too few entries", seen="3"))
    contest.refresh_from_db()
    assert (contest.state, contest.state_why) == ("entered", "")


@pytest.mark.parametrize(
    ("name", "typed", "field"),
    [
        ("postpone_contest", {"to": "2027-06-12"}, "to"),
        ("postpone_contest", {"to": "soon"}, "to"),
        ("postpone_contest", {"why": "x" * 201}, "why"),
        ("call_off_contest", {"state": "cooked"}, "state"),
        ("call_off_contest", {"state": "cancelled", "why": "x\x00"}, "why"),
        ("call_off_contest", {"state": "cancelled", "seen": "7"}, "__all__"),
    ],
)
def test_odd_presses_of_moving_and_calling_off(signed_in, team, name, typed, field):
    contest = ContestFactory(team=team, held_on=date(2027, 6, 12))
    url = reverse(f"contests:{name}", args=[team.slug, contest.pk])
    answer = signed_in.post(url, {"seen": "1"} | typed)
    assert answer.status_code == 422
    assert list(answer.context["form"].errors) == [field]
    assert 'name="seen" value="1"' in answer.content.decode()  # as it is stored: press again
    contest.refresh_from_db()
    assert contest.state == "accepted"


def test_a_place_on_the_wait_list_is_read_with_its_days(signed_in, team, cook):
    contest = ContestFactory(team=team, state="wait_list", wait_list_place=7)
    contest.wait_list_place = 4
    actions.change_contest(contest=contest, seen=1, by=cook.user)
    contest.notes = "Ask again in May"  # keeps its place
    actions.change_contest(contest=contest, seen=2, by=cook.user)
    days = [date(2027, 5, 1), date(2027, 5, 3), date(2027, 5, 9)]
    for row, day in zip(contest.history.order_by("history_id"), days, strict=True):
        row.history_date = datetime(day.year, day.month, day.day, 18, tzinfo=UTC)
        row.save()
    story = queries.contest_story(contest)
    assert story.waiting == "4th since 3 May, before that 7th since 1 May"
    assert story.lines == [
        "1 May 2027: on the wait list, 7th",
        f"3 May 2027: on the wait list, 4th, by {cook.user}",
    ]
    (ticket,) = queries.coming_tickets(team)
    assert ticket.state == ("wait list, 4th since 3 May", "due")
    page = signed_in.get(reverse("contests:show_contests", args=[team.slug]))
    assert "wait list, 4th since 3 May" in page.content.decode()
    page = signed_in.get(reverse("contests:show_contest", args=[team.slug, contest.pk]))
    assert "4th since 3 May, before that 7th since 1 May" in page.content.decode()


@pytest.mark.parametrize("many", [1, 6])
def test_a_contests_page_takes_the_same_queries_however_full(
    many, signed_in, team, django_assert_max_num_queries
):
    contest = ContestFactory(team=team)
    for _ in range(many):
        entry = EntryFactory(contest=contest, rulebook=RulebookFactory())
        PaymentFactory(contest=contest, entry=entry)
        TaskFactory(contest=contest)
        TeamPaperFactory(team=team, expires_on=date(2020, 1, 1))
    with django_assert_max_num_queries(17):
        signed_in.get(reverse("contests:show_contest", args=[team.slug, contest.pk]))


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


@pytest.mark.parametrize("many", [1, 7])
def test_tickets_of_those_that_wait_take_three_queries(team, many, django_assert_num_queries):
    for _ in range(many):
        EntryFactory(contest=ContestFactory(team=team, state="wait_list", wait_list_place=2))
    with django_assert_num_queries(3):
        tickets = queries.coming_tickets(team)
    assert all(ticket.place_since for ticket in tickets)
    assert len(tickets) == many
