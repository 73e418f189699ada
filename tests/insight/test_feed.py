"""The calendar feed: valid, right by every clock, stable, private."""

import subprocess
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from dateutil import tz
from django.conf import settings
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from teamops.contests.actions import change_contest, save_entry
from teamops.contests.actions.checklists import tick
from teamops.contests.models import Contest, TeamPaper
from teamops.insight.feed import feed_events, team_feed, write_calendar
from teamops.teams.actions.list_links import make_link, renew_link, revoke_link
from teamops.teams.models import ListLink
from teamops.teams.roles import Role
from tests.factories.contests import CategoryFactory, ContestFactory, EntryFactory, TaskFactory
from tests.factories.judging import scored_entry
from tests.factories.packing import PackingLineFactory, PackingListFactory
from tests.insight import rfc5545
from tests.insight.conftest import TODAY

RFC = "published: RFC 5545 sections 3.1 to 3.8, read by a parser written from its grammar"
HOSTILE = (
    "Gravel, Bar; \"Final\" \\n", "🥩🔥" * 30, "שלום לכולם " * 8, "Ünïcödé " * 20,
    "BEGIN:VEVENT\nUID:x", "tab\there", "bell\x07 and \x0b",
)  # fmt: skip


def feed_path(team, by) -> str:
    _, address = make_link(team=team, kind=ListLink.Kind.CALENDAR, label="My phone", by=by.user)
    return "/" + address.split("/", 3)[3]


def served(team) -> rfc5545.Component:
    return rfc5545.read(write_calendar(team_feed(team)))


def by_summary(team) -> dict[str, rfc5545.Component]:
    return {event.one("SUMMARY").text: event for event in served(team).inside}


def starts(event: rfc5545.Component) -> date | datetime:
    return event.one("DTSTART").when


@pytest.fixture
def contest(team, today):
    return ContestFactory(
        team=team, name="Gravel Bar Final", place="Shinglestrand", held_on=date(2027, 6, 12)
    )


@pytest.fixture
def entry(contest):
    opens = datetime(2027, 6, 12, 18, 0, tzinfo=UTC)  # 1:00 pm in Chicago
    return EntryFactory(
        contest=contest,
        category=CategoryFactory(team=contest.team),
        window_opens_at=opens,
        window_closes_at=opens + timedelta(minutes=15),
    )


# What it holds ------------------------------------------------------------------------------------


@pytest.mark.outside(RFC)
def test_everything_dated_is_there(team, contest, entry, cook):
    at = datetime(2027, 6, 12, 13, 0, tzinfo=UTC)
    contest.entries_open_at = datetime(2027, 5, 1, 14, 0, tzinfo=UTC)
    contest.deadline_on, contest.early_until_on = date(2027, 5, 20), date(2027, 5, 10)
    contest.late_from_on = date(2027, 5, 11)
    contest.load_in_at, contest.meeting_at = at, at + timedelta(hours=1)
    contest.awards_at, contest.protest_minutes = at + timedelta(hours=8), 30
    contest.save()
    contest.trip.leaves_on, contest.trip.home_on = date(2027, 6, 11), date(2027, 6, 13)
    contest.trip.save()
    TaskFactory(contest=contest, title="Order ribeyes", due_on=date(2027, 6, 4), person=cook.user)
    TaskFactory(contest=contest, title="Call", due_on=date(2027, 6, 5), due_at=time(17, 30))
    TeamPaper.objects.create(team=team, kind="food", expires_on=date(2027, 9, 1))
    PackingLineFactory(packing_list=PackingListFactory(trip=contest.trip))
    found = by_summary(team)
    where = f": {contest.name}"
    days = {
        contest.name: date(2027, 6, 12),
        f"Entry deadline{where}": date(2027, 5, 20),
        f"Early fee ends{where}": date(2027, 5, 10),
        f"Late fee from today{where}": date(2027, 5, 11),
        f"Leave: {contest.trip.name}": date(2027, 6, 11),
        f"Home: {contest.trip.name}": date(2027, 6, 13),
        f"Order ribeyes, {cook.user.get_short_name()}{where}": date(2027, 6, 4),
        "Runs out: food-handler card": date(2027, 9, 1),
        f"Pack 1 thing: {contest.trip.name}": date(2027, 6, 10),
    }
    moments = {
        f"Entries open{where}": contest.entries_open_at,
        f"Load-in{where}": at,
        f"Cooks’ meeting{where}": at + timedelta(hours=1),
        f"Turn in: Ribeye{where}": entry.window_opens_at,
        f"Awards{where}": at + timedelta(hours=8),
        f"Last moment to protest{where}": at + timedelta(hours=8, minutes=30),
        f"Call{where}": datetime(2027, 6, 5, 22, 30, tzinfo=UTC),
    }
    assert {name: starts(event) for name, event in found.items()} == days | moments
    window = found[f"Turn in: Ribeye{where}"]
    assert window.one("DTEND").when == entry.window_closes_at
    assert window.one("LOCATION").text == "Shinglestrand"
    clock = "1:00 pm to 1:15 pm on the contest’s clock, America/Chicago"
    assert window.one("DESCRIPTION").text == clock
    assert window.one("URL").raw.startswith(settings.PUBLIC_URL)
    alarms = {
        name: event.inside[0].one("TRIGGER").raw for name, event in found.items() if event.inside
    }
    assert alarms == {
        f"Entries open{where}": "-PT15M",
        f"Entry deadline{where}": "-PT15H",
        f"Early fee ends{where}": "-PT15H",
        f"Late fee from today{where}": "-PT15H",
        "Runs out: food-handler card": "-P14D",
    }


def test_sheets_to_log_are_in_it(team, contest, entry):
    contest.held_on = TODAY - timedelta(days=2)
    contest.save()
    log = "Log the score sheets of Gravel Bar Final (Ribeye): Shinglestrand"
    assert starts(by_summary(team)[log]) == contest.held_on
    scored_entry(entry, [[8, 9, 8, 7, 8]] * 5)
    assert log not in by_summary(team)


@pytest.mark.parametrize(("ago", "there"), [(60, True), (61, False)])
def test_sixty_days_back_and_all_the_future(team, today, ago, there):
    past = ContestFactory(team=team, held_on=TODAY - timedelta(days=ago))
    far = ContestFactory(team=team, held_on=date(2038, 1, 20))
    found = by_summary(team)
    assert (past.name in found) is there
    assert starts(found[far.name]) == date(2038, 1, 20)


@pytest.mark.outside(RFC)
def test_the_calendars_last_day_is_still_valid(team, today):
    far = ContestFactory(team=team, held_on=date.max)
    assert starts(by_summary(team)[far.name]) == date.max


def test_an_empty_calendar_is_one(team, today):
    assert served(team).inside == []


def test_what_is_off_says_so_and_what_is_open_too(team, contest, entry):
    contest.state = Contest.State.POSTPONED
    contest.save()
    (event,) = served(team).inside
    assert event.one("SUMMARY").text == "Gravel Bar Final: postponed"
    assert event.one("STATUS").raw == "CANCELLED"
    contest.state = Contest.State.CONSIDERING
    contest.save()
    day = by_summary(team)["Gravel Bar Final (considering)"]
    assert day.one("STATUS").raw == "TENTATIVE"


def test_a_done_todo_says_so(team, contest, cook):
    tick(task=TaskFactory(contest=contest, title="Ice"), done=True, by=cook.user)
    assert "Done: Ice: Gravel Bar Final" in by_summary(team)


def test_a_window_of_which_only_the_close_is_known(team, contest, entry):
    entry.window_opens_at = None
    entry.save()
    event = by_summary(team)["Turn in: Ribeye: Gravel Bar Final"]
    assert starts(event) == entry.window_closes_at
    assert "DTEND" not in event.properties
    assert "The window closes then" in event.one("DESCRIPTION").text


@pytest.mark.outside(RFC)
@pytest.mark.parametrize("words", HOSTILE)
def test_any_text_is_written_so_that_it_is_read_back(team, contest, words):
    contest.name, contest.place = words[:120].strip(), words[:120].strip()
    contest.save()
    task = TaskFactory(contest=contest, title=words[:120].strip(), note=words)
    (day,) = [event for event in served(team).inside if not event.one("SUMMARY").text.count(": ")
              or event.one("SUMMARY").text == _clean(contest.name)]  # fmt: skip
    assert day.one("SUMMARY").text == _clean(contest.name)
    assert day.one("LOCATION").text == _clean(contest.place)
    texts = [event.one("SUMMARY").text for event in served(team).inside]
    assert _clean(f"{task.title}: {contest.name}") in texts


def _clean(text: str) -> str:
    return "".join(one for one in text if one in "\n\t" or ord(one) >= 32).strip()


# Clocks -------------------------------------------------------------------------------------------

# Noon and one in the afternoon around both changes of each zone, and in the gap and the doubled
# hour themselves. A wall time that the change skips lands just after it.
CHANGES = [
    ("America/Chicago", "2028-03-11 13:00"),
    ("America/Chicago", "2028-03-12 01:59"),
    ("America/Chicago", "2028-03-12 03:00"),
    ("America/Chicago", "2028-03-12 13:00"),
    ("America/Chicago", "2028-11-04 13:00"),
    ("America/Chicago", "2028-11-05 00:59"),
    ("America/Chicago", "2028-11-05 02:00"),
    ("America/Chicago", "2028-11-05 13:00"),
    ("Europe/Berlin", "2028-03-25 13:00"),
    ("Europe/Berlin", "2028-03-26 01:59"),
    ("Europe/Berlin", "2028-03-26 03:00"),
    ("Europe/Berlin", "2028-10-28 13:00"),
    ("Europe/Berlin", "2028-10-29 01:59"),
    ("Europe/Berlin", "2028-10-29 03:00"),
    ("Europe/Berlin", "2028-10-29 13:00"),
    ("Australia/Lord_Howe", "2028-10-01 13:00"),
    ("America/Phoenix", "2028-03-12 13:00"),
]


def due_instant(team, zone: str, wall: str) -> datetime:
    """When the feed says that a to-do of this day and hour is due."""
    at = datetime.fromisoformat(wall)
    contest = ContestFactory(team=team, time_zone=zone, held_on=at.date())
    TaskFactory(contest=contest, title="Call", due_on=at.date(), due_at=at.time())
    found = starts(by_summary(team)[f"Call: {contest.name}"])
    assert isinstance(found, datetime)
    return found


@pytest.mark.outside("published: the system's time zone database, as coreutils' date reads it")
@pytest.mark.parametrize(("zone", "wall"), CHANGES)
def test_a_wall_clock_is_the_instant_that_the_systems_date_says(team, today, zone, wall):
    said = subprocess.run(
        ["date", "-u", "-d", f'TZ="{zone}" {wall}', "+%Y-%m-%dT%H:%M:%S+00:00"],
        capture_output=True, check=True, text=True,
    )  # fmt: skip
    assert due_instant(team, zone, wall) == datetime.fromisoformat(said.stdout.strip())


@pytest.mark.outside("computed: python-dateutil's own reading of the time zone files")
@pytest.mark.parametrize(("zone", "wall"), CHANGES)
def test_a_wall_clock_is_the_instant_that_dateutil_says(team, today, zone, wall):
    at = datetime.fromisoformat(wall).replace(tzinfo=tz.gettz(zone))
    assert due_instant(team, zone, wall) == at.astimezone(tz.UTC)


@pytest.mark.parametrize(
    ("zone", "wall", "lands"),
    [
        ("America/Chicago", "2028-03-12 02:30", "03:30"),
        ("Europe/Berlin", "2028-03-26 02:30", "03:30"),
        ("America/Chicago", "2028-11-05 01:30", "01:30"),  # the first of the two
    ],
)
def test_an_hour_that_the_clocks_skip_lands_just_after_the_gap(team, today, zone, wall, lands):
    local = due_instant(team, zone, wall).astimezone(ZoneInfo(zone))
    assert f"{local:%H:%M}" == lands
    assert local.fold == 0


def test_a_day_stays_a_day_for_every_reader(team, contest):
    """No time and no zone: a reader in Auckland sees the same Saturday."""
    day = by_summary(team)["Gravel Bar Final"]
    assert day.one("DTSTART").params == {"VALUE": "DATE"}
    assert (day.one("DTSTART").raw, day.one("DTEND").raw) == ("20270612", "20270613")


# What moves, moves; what stays, stays -----------------------------------------------------------


def test_a_moved_window_moves_its_event(team, contest, entry, cook):
    before = by_summary(team)["Turn in: Ribeye: Gravel Bar Final"]
    entry.window_opens_at += timedelta(minutes=30)
    entry.window_closes_at += timedelta(minutes=30)
    save_entry(entry=entry, category_name="Ribeye", ancillary=False, seen=None, by=cook.user)
    after = by_summary(team)["Turn in: Ribeye: Gravel Bar Final"]
    assert after.one("UID").raw == before.one("UID").raw
    assert starts(after) == starts(before) + timedelta(minutes=30)
    assert int(after.one("SEQUENCE").raw) > int(before.one("SEQUENCE").raw)


def test_a_postponed_contest_moves_every_event_of_it(team, contest, entry, cook):
    known = {event.one("UID").raw: starts(event) for event in served(team).inside}
    contest.held_on += timedelta(days=7)
    change_contest(contest=contest, seen=contest.version, by=cook.user)
    moved = {event.one("UID").raw: starts(event) for event in served(team).inside}
    assert moved == {uid: at + timedelta(days=7) for uid, at in known.items()}


def test_the_stamp_is_of_the_last_change_and_never_goes_back(team, contest, monkeypatch):
    first = team_feed(team).since
    later = first + timedelta(hours=2)
    monkeypatch.setattr("teamops.insight.feed.timezone.now", lambda: later)
    assert team_feed(team).since == first
    contest.name = "Gravel Bar"
    contest.save()
    assert team_feed(team).since == later
    contest.name = "Gravel Bar Final"
    contest.save()
    assert team_feed(team).since == later


# The address ------------------------------------------------------------------------------------


def test_the_feed_is_served_to_whoever_has_the_address(team, contest, helper):
    path = feed_path(team, helper)
    answer = Client().get(path)
    assert answer.status_code == 200
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    assert answer["Cache-Control"] == "private, max-age=900"
    assert answer["Referrer-Policy"] == "no-referrer"
    assert not answer.cookies
    assert rfc5545.read(answer.content).inside
    assert Client().head(path).status_code == 200
    assert Client().post(path).status_code == 405


def test_an_unchanged_feed_is_not_sent_again(team, contest, cook):
    path = feed_path(team, cook)
    first = Client().get(path)
    again = Client().get(path, headers={"If-None-Match": first["ETag"]})
    assert (again.status_code, again.content, again["ETag"]) == (304, b"", first["ETag"])
    assert Client().get(path).content == first.content
    TaskFactory(contest=contest)
    changed = Client().get(path, headers={"If-None-Match": first["ETag"]})
    assert changed.status_code == 200
    assert changed["ETag"] != first["ETag"]


def test_wrong_taken_back_or_renewed_the_old_address_is_gone(team, cook):
    path = feed_path(team, cook)
    assert Client().get("/feed/not-a-secret.ics").status_code == 404
    link = ListLink.objects.get()
    new = "/" + renew_link(link=link, by=cook.user).split("/", 3)[3]
    assert Client().get(path).status_code == 404
    assert Client().get(new).status_code == 200
    revoke_link(link=link, by=cook.user)
    assert Client().get(new).status_code == 404


def test_a_calendar_ends_with_its_owners_place_in_the_team(team, helper):
    path = feed_path(team, helper)
    helper.role = Role.READER
    helper.save()
    assert Client().get(path).status_code == 200
    helper.delete()
    assert Client().get(path).status_code == 404


def test_a_feed_is_not_asked_for_endlessly(team, cook, monkeypatch):
    monkeypatch.setattr("teamops.insight.link_views.READS", 2)
    path = feed_path(team, cook)
    assert [Client().get(path).status_code for _ in range(3)] == [200, 200, 429]


def test_another_teams_dates_are_not_in_it(team, contest, stranger):
    ContestFactory(team=stranger.team, name="Theirs")
    TaskFactory(title="Theirs too")
    assert {event.one("SUMMARY").text for event in served(team).inside} == {"Gravel Bar Final"}


@pytest.mark.parametrize("many", [1, 9])
def test_the_feed_takes_the_same_queries_however_much_is_dated(
    team, cook, today, many, django_assert_num_queries
):
    for number in range(many):
        contest = ContestFactory(team=team, held_on=TODAY + timedelta(days=number))
        EntryFactory(contest=contest, window_opens_at=timezone.now(), cook_of_record=cook.user)
        TaskFactory(contest=contest, person=cook.user, due_on=TODAY)
        TeamPaper.objects.create(team=team, expires_on=TODAY, holder=cook.user)
        PackingLineFactory(packing_list=PackingListFactory(trip=contest.trip))
        EntryFactory(contest=ContestFactory(team=team, held_on=TODAY - timedelta(days=number + 1)))
    path = feed_path(team, cook)
    Client().get(path)  # notes the day of use
    with django_assert_num_queries(10):
        assert Client().get(path).status_code == 200


# The page of links ------------------------------------------------------------------------------


def links_page(team) -> str:
    return reverse("insight:show_links", args=[team.slug])


def test_an_address_is_made_shown_once_renewed_and_taken_back(client, reader, team):
    client.force_login(reader.user)
    assert "None yet" in client.get(links_page(team)).content.decode()
    answer = client.post(links_page(team), {"label": "My phone"}, follow=True)
    address = answer.context["new"]["address"]
    assert address.startswith(settings.PUBLIC_URL + "/feed/")
    assert address in answer.content.decode()
    assert address not in client.get(links_page(team)).content.decode()
    link = ListLink.objects.get()
    renew = reverse("team:renew_link", args=[team.slug, link.pk])
    answer = client.post(renew, follow=True)
    assert answer.context["new"]["address"] != address
    client.post(reverse("team:revoke_link", args=[team.slug, link.pk]))
    assert "None yet" in client.get(links_page(team)).content.decode()
    assert client.post(renew).status_code == 404


def test_a_helper_does_not_take_back_what_is_not_theirs(client, helper, cook, team):
    feed_path(team, cook)
    link = ListLink.objects.get()
    client.force_login(helper.user)
    assert "Take back" not in client.get(links_page(team)).content.decode()
    for name in ("renew_link", "revoke_link"):
        assert client.post(reverse(f"team:{name}", args=[team.slug, link.pk])).status_code == 403
    link.refresh_from_db()
    assert link.revoked_at is None


def test_links_say_which_list_and_of_a_deleted_one_that_it_is_gone(client, cook, team, contest):
    for label in ("Marta", "Jo"):
        make_link(
            team=team, kind=ListLink.Kind.CHECKLIST, object_id=contest.pk, label=label, by=cook.user
        )
    client.force_login(cook.user)
    said = client.get(links_page(team)).content.decode()
    assert said.count("Gravel Bar Final") == 2
    contest.delete()
    assert client.get(links_page(team)).content.decode().count("the list is gone") == 2


def test_a_nameless_address_is_refused(signed_in, team):
    answer = signed_in.post(links_page(team), {"label": ""})
    assert answer.status_code == 422
    assert not ListLink.objects.exists()


@pytest.mark.parametrize("many", [1, 12])
def test_the_page_of_links_takes_the_same_queries(
    today, team, cook, contest, signed_in, many, django_assert_num_queries
):
    for number in range(many):
        make_link(
            team=team, kind=ListLink.Kind.CHECKLIST, object_id=contest.pk, label=f"{number}",
            by=cook.user,
        )  # fmt: skip
    with django_assert_num_queries(6):
        assert signed_in.get(links_page(team)).status_code == 200


def test_events_come_in_order(team, contest, entry):
    moments = [event.starts.isoformat() for event in feed_events(team)]
    assert moments == sorted(moments)
