"""The day's panel: the next thing of each box as one button, and who did what."""

from datetime import UTC, datetime, timedelta
from uuid import uuid4

import pytest
from django.urls import reverse

from teamops.contests.actions.box import keep_lid_check
from teamops.contests.actions.meeting import say_word
from teamops.contests.actions.turn_in import set_late, turn_in
from teamops.contests.models import Contest, Entry
from teamops.contests.queries.box import box_questions
from teamops.contests.queries.day import day_board
from teamops.contests.queries.meeting import meeting_page
from tests.factories.contests import ContestFactory, EntryFactory
from tests.factories.day import ProtestFactory
from tests.factories.rules import RulebookFactory

OPENS = datetime(2027, 6, 12, 18, 0, tzinfo=UTC)  # 1:00 pm in Chicago
CLOSES = OPENS + timedelta(minutes=15)
MORNING = OPENS - timedelta(hours=4)
AWARDS = OPENS + timedelta(hours=3)


@pytest.fixture
def entry(team):
    contest = ContestFactory(team=team, held_on=OPENS.date(), awards_at=AWARDS)
    return EntryFactory(
        contest=contest, rulebook=RulebookFactory(protest_minutes=30),
        window_opens_at=OPENS, window_closes_at=CLOSES,
    )  # fmt: skip


def press(entry, now=MORNING):
    (row,) = day_board(entry.contest, now).rows
    return row.next and row.next.press


def look(entry, by, *, right=True):
    answers = {one.key: right for one in box_questions(entry.rulebook, entry)}
    keep_lid_check(entry=entry, check_id=uuid4(), answers=answers, note="", by=by)


def settle(contest, by):
    for line in meeting_page(contest).open:
        say_word(contest=contest, line=line.line, entry=line.entry, seen=line.stands, by=by)


def test_the_next_thing_from_the_meeting_to_the_protest(entry, helper):
    user = helper.user
    assert press(entry) == "Check the meeting: 8 open"
    settle(entry.contest, user)
    assert press(entry) == "Check the box"
    look(entry, user)
    assert press(entry) == "Turn in"
    entry = turn_in(entry=entry, at=CLOSES + timedelta(seconds=20), by=user)
    assert press(entry, CLOSES) == "What was made of it?"
    set_late(entry=entry, late=Entry.Late.TAKEN, points=None, by=user)
    assert press(entry, AWARDS) == "Protest until 4:30 pm"
    ProtestFactory(entry=entry)
    assert press(entry, AWARDS) == "What came of the protest?"
    entry.protests.update(outcome="denied")
    assert press(entry, AWARDS + timedelta(hours=1)) is None


def test_shortly_before_the_window_the_box_comes_first_whatever_was_confirmed(entry, helper):
    assert press(entry, OPENS - timedelta(minutes=31)).startswith("Check the meeting")
    assert press(entry, OPENS - timedelta(minutes=30)) == "Check the box"
    entry.contest.clock_offset_seconds = 90
    assert press(entry, OPENS - timedelta(minutes=31)) == "Check the box"


def test_a_box_that_is_not_right_is_warned_of_and_not_held_back(entry, helper):
    look(entry, helper.user, right=False)
    (row,) = day_board(entry.contest, OPENS).rows
    assert row.next.press == "Turn in"
    assert row.warnings[0].startswith("Not right: ")
    assert press(entry) == "Look at the box again"


def test_what_is_done_says_who(entry, helper):
    settle(entry.contest, helper.user)
    look(entry, helper.user)
    entry = turn_in(entry=entry, at=CLOSES, by=helper.user)
    (row,) = day_board(entry.contest, CLOSES).rows
    window, box, turned_in = row.done
    assert window.startswith(f"Window confirmed by {helper.user}, ")
    assert box.startswith(f"Box check: all right, {helper.user}, ")
    assert turned_in == (f"Turned in 1:15:00 pm by the official clock, {helper.user}: in time")


def test_protests_stand_there_from_the_awards_on_or_once_turned_in(entry):
    before, after = AWARDS - timedelta(seconds=1), AWARDS
    assert day_board(entry.contest, before).rows[0].protest is None
    assert day_board(entry.contest, after).rows[0].protest.is_running


def test_a_practice_has_no_meeting(entry):
    entry.contest.kind = Contest.Kind.PRACTICE
    entry.contest.save()
    assert press(entry) == "Check the box"
    assert day_board(entry.contest, MORNING).meeting == ""


def test_the_panel_opens_by_itself_around_the_day(entry):
    assert day_board(entry.contest, MORNING).is_today
    assert day_board(entry.contest, MORNING + timedelta(days=1)).is_near
    assert not day_board(entry.contest, MORNING - timedelta(days=2)).is_near
    entry.contest.state = Contest.State.CANCELLED
    assert not day_board(entry.contest, MORNING).is_near


def test_boxes_that_are_out_are_left_out(entry):
    EntryFactory(contest=entry.contest, state=Entry.State.DROPPED)
    EntryFactory(contest=entry.contest, state=Entry.State.WITHDRAWN)
    assert len(day_board(entry.contest, MORNING).rows) == 1


@pytest.mark.parametrize("boxes", [1, 4])
def test_the_panel_takes_four_queries(entry, boxes, helper, django_assert_num_queries):
    for _ in range(boxes - 1):
        ProtestFactory(entry=EntryFactory(contest=entry.contest))
    with django_assert_num_queries(4):
        assert len(day_board(entry.contest, MORNING).rows) == boxes


def test_it_stands_on_the_contest_page_and_readers_see_no_button(client, reader, helper, entry):
    url = reverse("contests:show_contest", args=[reader.team.slug, entry.contest.pk])
    check = reverse("contests:check_box", args=[reader.team.slug, entry.pk])
    client.force_login(reader.user)
    page = client.get(url).content.decode()
    assert "The cooks’ meeting" in page
    assert check not in page
    client.force_login(helper.user)
    assert check in client.get(url).content.decode()
