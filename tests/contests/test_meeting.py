"""The cooks' meeting: words are kept, windows follow, and clocks are told apart."""

import re
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from teamops.contests.actions import change_contest
from teamops.contests.actions.meeting import move_windows, say_word
from teamops.contests.models import Anchor, MeetingWord
from teamops.contests.queries.meeting import meeting_page
from teamops.contests.queries.windows import (
    instants,
    leave_by,
    offset_from_reading,
    offset_words,
    ours,
    span,
    to_the_second,
    wall,
)
from teamops.teams.versions import Conflict
from tests.factories.contests import ContestFactory, EntryFactory, TaskFactory
from tests.factories.rules import RulebookFactory
from tests.factories.teams import UserFactory

CHICAGO = ZoneInfo("America/Chicago")
DAY = date(2027, 6, 12)
OPENS = datetime(2027, 6, 12, 18, 0, tzinfo=UTC)  # 1:00 pm in Chicago
QUARTER = timedelta(minutes=15)
BACK = date(2027, 11, 7)  # clocks go back from 2:00 to 1:00 in Chicago
FORWARD = date(2027, 3, 14)  # and forward from 2:00 to 3:00


@pytest.fixture
def contest(team):
    return ContestFactory(team=team, held_on=DAY)


@pytest.fixture
def entry(contest):
    book = RulebookFactory(window_minutes=15, box_rules="One steak.", protest_minutes=30)
    return EntryFactory(
        contest=contest, rulebook=book, window_opens_at=OPENS, window_closes_at=OPENS + QUARTER
    )


def url_of(name, contest):
    return reverse(f"contests:{name}", args=[contest.team.slug, contest.pk])


def say(browser, contest, line, seen="", entry=None, **typed):
    typed |= {"line": line, "seen": seen, "entry": entry.pk if entry else ""}
    return browser.post(url_of("say_word", contest), typed)


def confirm(browser, contest, line, seen="", entry=None):
    return say(browser, contest, line, seen, entry, press="confirm")


# Clocks ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (None, ""),
        (0, "reads the same as ours"),
        (90, "1 min 30 s ahead of ours"),
        (-20, "20 s behind ours"),
        (3600, "1 h ahead of ours"),
    ],
)
def test_the_official_clock_in_words(seconds, words):
    assert offset_words(seconds) == words


def test_a_stretch_of_nothing_is_still_said():
    assert span(0) == "0 s"


@pytest.mark.outside("computed: wall times and folds by the system's tz database (zoneinfo)")
@pytest.mark.parametrize("fold", [0, 1])
@pytest.mark.parametrize("off", [90, -90, 0])
def test_ninety_seconds_off_in_the_hour_that_comes_twice(fold, off):
    """1:30 comes twice on the Sunday clocks go back: 90 s must not become an hour and 90 s."""
    official = datetime(2027, 11, 7, 1, 30, fold=fold, tzinfo=CHICAGO)
    at = official.astimezone(UTC) - timedelta(seconds=off)
    assert offset_from_reading(time(1, 30), at, CHICAGO) == off


@pytest.mark.outside("computed: wall times across both changes by zoneinfo")
@pytest.mark.parametrize(
    ("wall_clock", "reads"),
    [
        (datetime(2027, 11, 7, 0, 59, tzinfo=CHICAGO), time(1, 0)),  # into the first 1:00
        (datetime(2027, 3, 14, 1, 59, tzinfo=CHICAGO), time(3, 0)),  # over the gap
        (datetime(2027, 6, 12, 23, 59, tzinfo=CHICAGO), time(0, 0)),  # over midnight
    ],
)
def test_a_minute_that_turns_over_a_change_is_a_minute(wall_clock, reads):
    assert offset_from_reading(reads, wall_clock.astimezone(UTC), CHICAGO) == 60


@pytest.mark.outside("computed: any minute of a year with both changes, read back by zoneinfo")
@given(
    minute=st.integers(0, 365 * 24 * 60 - 1),
    off=st.integers(-29 * 60, 29 * 60),
    zone=st.sampled_from(["America/Chicago", "Europe/London", "Australia/Lord_Howe", "UTC"]),
)
def test_any_offset_under_half_an_hour_is_read_back(minute, off, zone):
    """Lord Howe's clocks change by half an hour only; there the nearer reading is within 15."""
    official = datetime(2027, 1, 1, tzinfo=UTC) + timedelta(minutes=minute)
    off = off if zone != "Australia/Lord_Howe" else off // 2
    reads = official.astimezone(ZoneInfo(zone)).time()
    assert offset_from_reading(reads, official - timedelta(seconds=off), ZoneInfo(zone)) == off


def test_an_official_clock_that_was_not_put_back_is_an_hour_out():
    """On Sunday afternoon it still reads summer time."""
    at = datetime(2027, 11, 7, 18, 0, tzinfo=UTC)  # 12:00 pm
    assert offset_from_reading(time(13, 0), at, CHICAGO) == 3600


@pytest.mark.outside("computed: folds and gaps by zoneinfo")
def test_moments_of_a_wall_time():
    assert len(instants(BACK, time(1, 30), CHICAGO)) == 2
    assert instants(FORWARD, time(2, 30), CHICAGO) == []
    assert instants(BACK, time(12, 0), CHICAGO) == [datetime(2027, 11, 7, 18, 0, tzinfo=UTC)]


def test_which_of_two_is_said_where_a_time_comes_twice(team):
    contest = ContestFactory(team=team, held_on=BACK)
    first, second = instants(BACK, time(1, 30), CHICAGO)
    assert (wall(first, contest), wall(second, contest)) == ("1:30 am CDT", "1:30 am CST")
    assert to_the_second(second, contest) == "1:30:00 am CST"
    assert wall(second + timedelta(hours=3), contest) == "4:30 am"


def test_the_latest_moment_to_leave_with_its_working(entry):
    contest = entry.contest
    contest.walk_seconds, contest.clock_offset_seconds = 240, 90
    leaving = leave_by(entry)
    assert leaving.words == "1:09:30 pm"
    assert leaving.at == OPENS + QUARTER - timedelta(seconds=330)
    assert leaving.working == (
        "The window closes 1:15:00 pm by the official clock",
        "less 4 min of walk: 1:11:00 pm by the official clock",
        "less 1 min 30 s, as the official clock is ahead: 1:09:30 pm by ours",
    )


def test_leaving_says_what_it_does_not_know(entry):
    words = " ".join(leave_by(entry).working)
    assert "not paced" in words
    assert "not compared" in words
    entry.contest.clock_offset_seconds = -30
    assert leave_by(entry).words == "1:15:30 pm"
    entry.window_closes_at = None
    assert leave_by(entry) is None


@pytest.mark.outside("computed: the same instants by zoneinfo, on the Sunday clocks go back")
def test_leaving_in_the_doubled_hour(team):
    """A window closes at the second 1:02; 5 minutes before is in that hour too, not the first."""
    contest = ContestFactory(team=team, held_on=BACK, clock_offset_seconds=90, walk_seconds=210)
    closes = datetime(2027, 11, 7, 1, 2, fold=1, tzinfo=CHICAGO).astimezone(UTC)
    leaving = leave_by(EntryFactory(contest=contest, window_closes_at=closes))
    assert leaving.words == "1:57:00 am CDT"
    same = datetime(2027, 11, 7, 1, 57, fold=0, tzinfo=CHICAGO).astimezone(UTC)
    assert leaving.at == same
    assert ours(closes, contest) == closes - timedelta(seconds=90)


# Words ----------------------------------------------------------------------------------------


def test_everything_is_open_first_and_settles_line_by_line(signed_in, contest, entry):
    page = meeting_page(contest)
    assert [line.label for line in page.open] == [
        "The official clock", "Window: Ribeye", "Box rules, as said", "How the ticket works",
        "Where the turn-in table is", "The walk there", "Minutes to protest", "Awards",
    ]  # fmt: skip
    assert page.line("box-word").beside == (f"{entry.rulebook}: One steak.",)
    assert confirm(signed_in, contest, "ticket_way").status_code == 302
    page = meeting_page(contest)
    assert page.count == "1 of 8 settled"
    (word,) = MeetingWord.objects.all()
    assert (word.line, word.changed, word.before) == ("ticket_way", False, "")
    assert [row.words for row in page.log] == ["confirmed: nothing"]


def test_a_helper_confirms_a_window_and_twice_is_once(client, helper, contest, entry):
    client.force_login(helper.user)
    for _ in range(2):
        confirm(client, contest, "window", "1:00 pm to 1:15 pm", entry)
    (word,) = MeetingWord.objects.all()
    assert (word.said_by, word.entry, word.before) == (helper.user, entry, "1:00 pm to 1:15 pm")


def test_two_phones_confirming_at_once_are_both_heard(client, helper, cook, contest, entry):
    for member in (helper, cook):
        client.force_login(member.user)
        confirm(client, contest, "window", "1:00 pm to 1:15 pm", entry)
    assert {word.said_by for word in MeetingWord.objects.all()} == {helper.user, cook.user}


def test_two_phones_on_two_lines_do_not_meet(contest, helper, cook):
    say_word(
        contest=contest, line="ticket_way", seen="", by=helper.user, change={"ticket_way": "A"}
    )
    say_word(contest=contest, line="turn_in_table", seen="", by=cook.user,
             change={"turn_in_table": "B"})  # fmt: skip
    contest.refresh_from_db()
    assert (contest.ticket_way, contest.turn_in_table, contest.version) == ("A", "B", 3)


def test_two_phones_on_one_line_see_each_other(client, helper, cook, contest):
    client.force_login(helper.user)
    say(client, contest, "box_word", "", press="change", box_word="No garnish.")
    client.force_login(cook.user)
    answer = say(client, contest, "box_word", "", press="change", box_word="No sauce.")
    assert answer.status_code == 409
    page = answer.content.decode()
    assert "No garnish." in page
    assert "No sauce." in page
    assert re.search(r'name="seen" value="No garnish\."', page)
    contest.refresh_from_db()
    assert contest.box_word == "No garnish."
    say(client, contest, "box_word", "No garnish.", press="change", box_word="No sauce.")
    assert [word.after for word in MeetingWord.objects.all()] == ["No garnish.", "No sauce."]


def test_confirming_what_was_changed_meanwhile_asks_again(signed_in, contest, entry):
    answer = confirm(signed_in, contest, "window", "12:00 pm to 12:15 pm", entry)
    assert answer.status_code == 409
    assert "Somebody was here before you" in answer.content.decode()
    assert not MeetingWord.objects.exists()


def test_the_whole_form_hears_of_a_change_at_the_meeting(contest, helper):
    say_word(
        contest=contest, line="ticket_way", seen="", by=helper.user, change={"ticket_way": "A"}
    )
    with pytest.raises(Conflict):
        contest.claim(seen=1, by=helper.user)


def test_a_window_moved_twice_once_earlier_keeps_both_words(signed_in, contest, entry):
    typed = {"press": "change", "day": "2027-06-12"}
    say(signed_in, contest, "window", "1:00 pm to 1:15 pm", entry,
        **typed, opens="13:30", closes="13:45")  # fmt: skip
    say(signed_in, contest, "window", "1:30 pm to 1:45 pm", entry,
        **typed, opens="12:45", closes="13:00")  # fmt: skip
    entry.refresh_from_db()
    assert entry.window_opens_at == OPENS - QUARTER
    assert [(word.before, word.after) for word in MeetingWord.objects.all()] == [
        ("1:00 pm to 1:15 pm", "1:30 pm to 1:45 pm"),
        ("1:30 pm to 1:45 pm", "12:45 pm to 1:00 pm"),
    ]
    log = meeting_page(contest).log
    assert log[0].words == "was 1:30 pm to 1:45 pm; now 12:45 pm to 1:00 pm"
    assert entry.history.count() == 3


def test_a_window_by_its_centre(signed_in, contest, entry):
    say(signed_in, contest, "window", "1:00 pm to 1:15 pm", entry, press="change",
        day="2027-06-12", opens="13:00", closes="13:15",
        centre="12:30", either_side="5")  # fmt: skip
    entry.refresh_from_db()
    centre = OPENS - timedelta(minutes=30)
    around = timedelta(minutes=5)
    assert (entry.window_opens_at, entry.window_closes_at) == (centre - around, centre + around)


def test_a_window_over_midnight(signed_in, contest, entry):
    say(signed_in, contest, "window", "1:00 pm to 1:15 pm", entry, press="change",
        day="2027-06-12", opens="23:50", closes="00:10")  # fmt: skip
    entry.refresh_from_db()
    assert entry.window_closes_at - entry.window_opens_at == timedelta(minutes=20)
    assert meeting_page(contest).open[0].line != "window"


def test_a_window_that_closes_before_it_opens_is_said_and_kept(signed_in, contest, entry):
    answer = say(signed_in, contest, "window", "1:00 pm to 1:15 pm", entry, press="change",
                 day="2027-06-12", opens="13:00", closes="12:00")  # fmt: skip
    assert answer.status_code == 422
    assert "must open before it closes" in answer.content.decode()
    assert 'value="12:00"' in answer.content.decode()


def test_a_window_in_the_doubled_hour_asks_which(signed_in, team):
    contest = ContestFactory(team=team, held_on=BACK)
    entry = EntryFactory(contest=contest)
    typed = {"press": "change", "day": "2027-11-07", "opens": "01:15", "closes": "01:30"}
    answer = say(signed_in, contest, "window", "", entry, **typed)
    assert answer.status_code == 422
    assert "01:15 comes twice on that day" in answer.content.decode()
    say(signed_in, contest, "window", "", entry, **typed, which="second")
    entry.refresh_from_db()
    assert entry.window_opens_at == datetime(2027, 11, 7, 7, 15, tzinfo=UTC)
    (word,) = MeetingWord.objects.all()
    assert word.after == "1:15 am CST to 1:30 am CST"


def test_a_time_that_the_day_skips_is_said(signed_in, team):
    contest = ContestFactory(team=team, held_on=FORWARD)
    entry = EntryFactory(contest=contest)
    answer = say(signed_in, contest, "window", "", entry, press="change", day="2027-03-14",
                 opens="02:30")  # fmt: skip
    assert "02:30 does not exist on that day" in answer.content.decode()


def test_what_is_counted_in_days_from_the_turn_in_moves_along(contest, entry, helper):
    days = TaskFactory(
        contest=contest,
        entry=entry,
        anchor=Anchor.TURN_IN,
        offset_days=-2,
        due_on=date(2027, 6, 10),
    )
    own = TaskFactory(contest=contest, entry=entry, due_on=date(2027, 6, 1))
    next_day = {"window_opens_at": OPENS + timedelta(days=1),
                "window_closes_at": OPENS + timedelta(days=1) + QUARTER}  # fmt: skip
    say_word(contest=contest, line="window", seen="1:00 pm to 1:15 pm", by=helper.user,
             entry=entry, change=next_day)  # fmt: skip
    days.refresh_from_db()
    own.refresh_from_db()
    assert (days.due_on, own.due_on) == (date(2027, 6, 11), date(2027, 6, 1))
    # whatever works out the contest's days anew leaves a box's own with the box
    contest.refresh_from_db()
    change_contest(contest=contest, seen=contest.version, by=helper.user)
    days.refresh_from_db()
    assert days.due_on == date(2027, 6, 11)
    contest.held_on += timedelta(days=7)
    change_contest(contest=contest, seen=contest.version, by=helper.user)
    days.refresh_from_db()
    assert days.due_on == date(2027, 6, 18)


def test_the_other_windows_move_by_one_press_and_only_once(signed_in, contest, entry):
    other = EntryFactory(contest=contest, window_opens_at=OPENS + 2 * QUARTER)
    none = EntryFactory(contest=contest)
    gone = EntryFactory(
        contest=contest, window_opens_at=OPENS, turned_in_at=OPENS, turned_in_by=UserFactory()
    )
    answer = say(signed_in, contest, "window", "1:00 pm to 1:15 pm", entry, press="change",
                 day="2027-06-12", opens="12:40", closes="12:55")  # fmt: skip
    page = signed_in.get(answer.url).content.decode()
    assert "Move the other window 20 min earlier too" in page
    word = MeetingWord.objects.get()
    typed = {"word": str(word.pk), "seconds": "-1200"}
    for _ in range(2):
        assert signed_in.post(url_of("move_windows", contest), typed).status_code == 302
    for row in (other, none, gone):
        row.refresh_from_db()
    assert other.window_opens_at == OPENS + timedelta(minutes=10)
    assert none.window_opens_at is None
    assert gone.window_opens_at == OPENS
    assert [row.after for row in other.words.all()] == ["from 1:10 pm"]
    assert "Move the other" not in signed_in.get(answer.url).content.decode()


def test_moving_one_window_moves_no_other(signed_in, contest, entry):
    other = EntryFactory(contest=contest, window_opens_at=OPENS)
    say(signed_in, contest, "window", "1:00 pm to 1:15 pm", entry, press="change",
        day="2027-06-12", opens="12:40", closes="12:55")  # fmt: skip
    other.refresh_from_db()
    assert other.window_opens_at == OPENS


def test_pressing_at_a_minute_of_the_official_clock(signed_in, contest):
    """The press counts from when the thumb came down, not from when it arrived."""
    now = datetime.now(UTC)
    pressed = now - timedelta(seconds=40)
    reads = (pressed + timedelta(seconds=90)).astimezone(CHICAGO).replace(microsecond=0)
    say(signed_in, contest, "clock_offset_seconds", press="tap",
        reads=f"{reads:%H:%M:%S}", tapped_at=str(int(pressed.timestamp() * 1000)))  # fmt: skip
    contest.refresh_from_db()
    assert contest.clock_offset_seconds in (89, 90)


@pytest.mark.parametrize(("way", "seconds"), [("ahead", 90), ("behind", -90)])
def test_seconds_typed_without_a_press(signed_in, contest, way, seconds):
    say(signed_in, contest, "clock_offset_seconds", press="change", seconds="90", way=way)
    contest.refresh_from_db()
    assert contest.clock_offset_seconds == seconds


@pytest.mark.parametrize("typed", [{}, {"seconds": "x"}, {"seconds": "90000"}])
def test_seconds_that_cannot_be(signed_in, contest, typed):
    answer = say(signed_in, contest, "clock_offset_seconds", press="change", **typed)
    assert answer.status_code == 422
    contest.refresh_from_db()
    assert contest.clock_offset_seconds is None


def test_walk_protest_and_awards(signed_in, contest, entry):
    say(signed_in, contest, "walk_seconds", press="change", minutes="3", seconds="20")
    say(signed_in, contest, "protest_minutes", press="change", protest_minutes="20")
    say(signed_in, contest, "awards_at", press="change", awards="16:00", day="2027-06-12")
    contest.refresh_from_db()
    assert (contest.walk_seconds, contest.protest_minutes) == (200, 20)
    assert contest.awards_at == datetime(2027, 6, 12, 21, 0, tzinfo=UTC)
    page = meeting_page(contest)
    assert page.line("walk-seconds").stands == "3 min 20 s"
    assert page.line("awards-at").stands == "4:00 pm"


def test_a_line_changed_elsewhere_since_is_open_again(signed_in, contest, entry):
    say(signed_in, contest, "ticket_way", press="change", ticket_way="Under the lid")
    contest.refresh_from_db()
    contest.ticket_way = "On the lid"
    contest.save()
    line = meeting_page(contest).line("ticket-way")
    assert not line.confirmed
    assert line.said.endswith("changed since")


@pytest.mark.parametrize("boxes", [1, 4])
def test_the_meeting_takes_two_queries(contest, boxes, django_assert_num_queries):
    for _ in range(boxes):
        EntryFactory(contest=contest, window_opens_at=OPENS)
    with django_assert_num_queries(2):
        meeting_page(contest)


def test_readers_see_it_and_press_nothing(client, reader, contest, entry):
    client.force_login(reader.user)
    page = client.get(url_of("show_meeting", contest))
    assert "As it stands" not in page.content.decode()
    assert say(client, contest, "ticket_way", press="confirm").status_code == 403


def test_no_such_line_or_anothers_box(signed_in, contest):
    assert confirm(signed_in, contest, "name").status_code == 400
    assert confirm(signed_in, contest, "window").status_code == 400
    assert confirm(signed_in, contest, "window", "", EntryFactory()).status_code == 404
    other = EntryFactory(contest__team=contest.team)
    assert confirm(signed_in, contest, "window", "", other).status_code == 404
    assert signed_in.post(url_of("move_windows", contest), {}).status_code == 400


def test_moving_nothing_is_said(contest, entry, helper):
    word = say_word(contest=contest, line="window", seen="1:00 pm to 1:15 pm", by=helper.user,
                    entry=entry)  # fmt: skip
    assert move_windows(after=word, seconds=60, by=helper.user) == []
