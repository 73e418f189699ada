"""Turned in: by the official clock, by whom, early or late, and what the judges made of it."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse

from teamops.contests.actions.turn_in import turn_in
from teamops.contests.models import Entry
from teamops.contests.queries.turn_in import judged_words, lies_words, turn_in_page
from teamops.contests.queries.windows import official, punctuality
from teamops.rules.models import Rulebook
from tests.factories.contests import ContestFactory, EntryFactory
from tests.factories.rules import RulebookFactory
from tests.factories.teams import MembershipFactory

OPENS = datetime(2027, 6, 12, 18, 0, tzinfo=UTC)  # 1:00 pm in Chicago
CLOSES = OPENS + timedelta(minutes=15)
LATE = Rulebook.Late


@pytest.fixture
def entry(team):
    contest = ContestFactory(team=team, held_on=OPENS.date())
    book = RulebookFactory(name="Open Slate", edition="9")
    return EntryFactory(
        contest=contest, rulebook=book, window_opens_at=OPENS, window_closes_at=CLOSES
    )


def url_of(entry, name="turn_in"):
    return reverse(f"contests:{name}", args=[entry.contest.team.slug, entry.pk])


def press(browser, entry, what, **more):
    return browser.post(url_of(entry), {"press": what} | more)


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (-20, "in time, 20 s before it closed"),
        (0, "in time, 0 s before it closed"),
        (1, "1 s late by the official clock"),
        (20, "20 s late by the official clock"),
        (95, "1 min 35 s late by the official clock"),
        (-910, "10 s early by the official clock"),
    ],
)
def test_early_in_time_or_late_to_the_second(entry, seconds, words):
    assert punctuality(entry, CLOSES + timedelta(seconds=seconds)).words == words


@pytest.mark.outside("computed: instants of the doubled hour by zoneinfo")
def test_twenty_seconds_late_in_the_hour_that_comes_twice(team):
    """It closes at the second 1:30; ours says 1:28:50, the official clock is 90 s ahead."""
    chicago = ZoneInfo("America/Chicago")
    contest = ContestFactory(team=team, held_on=date(2027, 11, 7), clock_offset_seconds=90)
    closes = datetime(2027, 11, 7, 1, 30, fold=1, tzinfo=chicago).astimezone(UTC)
    entry = EntryFactory(contest=contest, window_closes_at=closes)
    pressed = datetime(2027, 11, 7, 1, 28, 50, fold=1, tzinfo=chicago).astimezone(UTC)
    lies = punctuality(entry, official(pressed, contest))
    assert lies.words == "20 s late by the official clock"
    hour_before = datetime(2027, 11, 7, 1, 28, 50, fold=0, tzinfo=chicago).astimezone(UTC)
    assert punctuality(entry, official(hour_before, contest)).words == (
        "in time, 59 min 40 s before it closed"
    )


@pytest.mark.parametrize(
    ("book", "rule"),
    [
        ({}, "Open Slate 9 says nothing about late boxes: ask the organiser."),
        ({"late": LATE.TAKEN}, "Open Slate 9: a late box is judged all the same."),
        ({"late": LATE.OUT}, "Open Slate 9: a late box is not judged."),
        ({"late": LATE.ZERO}, "Open Slate 9: a late box counts as zero."),
        (
            {"late": LATE.DOCKED, "late_points": Decimal("5.0000")},
            "Open Slate 9: a late box loses 5 points.",
        ),
        (
            {"late": LATE.OUT, "late_grace_seconds": 30},
            "Open Slate 9 gives 30 s of grace: the box is within it.",
        ),
        (
            {"late": LATE.OUT, "late_grace_seconds": 10, "lateness": "No appeal."},
            "Open Slate 9: a late box is not judged, after 10 s of grace. No appeal.",
        ),
    ],
)
def test_what_the_rulebook_does_with_twenty_seconds(entry, book, rule):
    for name, value in book.items():
        setattr(entry.rulebook, name, value)
    assert punctuality(entry, CLOSES + timedelta(seconds=20)).rule == rule


def test_without_a_window_nothing_is_late(entry):
    entry.window_opens_at = entry.window_closes_at = None
    assert punctuality(entry, CLOSES) is None


def test_one_press_by_a_helper_and_the_second_changes_nothing(client, helper, cook, entry):
    for member in (helper, cook):
        client.force_login(member.user)
        assert press(client, entry, "now").status_code == 302
    entry.refresh_from_db()
    assert entry.turned_in_by == helper.user
    assert datetime.now(UTC) - entry.turned_in_at < timedelta(minutes=1)
    assert entry.version == 2


def test_the_official_clock_decides(signed_in, entry):
    """Ours says in time by 70 s; the official clock is 90 s ahead, and it is 20 s late."""
    entry.contest.clock_offset_seconds = 90
    entry.contest.save()
    now = datetime.now(UTC).replace(microsecond=0)
    entry.window_opens_at, entry.window_closes_at = now, now + timedelta(seconds=70)
    entry.save()
    answer = press(signed_in, entry, "now", tapped_at=int(now.timestamp() * 1000))
    page = signed_in.get(answer.url).content.decode()
    assert "20 s late by the official clock" in page
    entry.refresh_from_db()
    assert entry.turned_in_at == now + timedelta(seconds=90)


def test_a_press_that_a_weak_signal_carried_counts_from_the_thumb(signed_in, entry):
    then = datetime.now(UTC).replace(microsecond=0) - timedelta(seconds=45)
    press(signed_in, entry, "now", tapped_at=int(then.timestamp() * 1000))
    entry.refresh_from_db()
    assert entry.turned_in_at == then


def test_a_moment_that_was_never_ours_is_not_taken(signed_in, entry):
    press(signed_in, entry, "now", tapped_at=1000)
    entry.refresh_from_db()
    assert datetime.now(UTC) - entry.turned_in_at < timedelta(minutes=1)


@pytest.mark.parametrize(
    ("late", "points", "words"),
    [
        ("taken", None, "20 s late, taken all the same"),
        ("docked", Decimal(5), "20 s late, docked by 5 points"),
        ("zero", None, "20 s late, counted as zero"),
        ("out", None, "20 s late, not judged"),
    ],
)
def test_twenty_seconds_late_and_what_was_made_of_it(signed_in, cook, entry, late, points, words):
    entry.rulebook.late_points = Decimal(5)
    entry.rulebook.save()
    turn_in(entry=entry, at=CLOSES + timedelta(seconds=20), by=cook.user)
    assert "What did they make of it?" in signed_in.get(url_of(entry)).content.decode()
    for _ in range(2):
        press(signed_in, entry, "late", late=late)
    entry.refresh_from_db()
    assert (entry.late, entry.late_points) == (late, points)
    assert lies_words(entry) == words
    assert entry.version == 3
    assert "What did they make of it?" not in signed_in.get(url_of(entry)).content.decode()


def test_the_spare_another_time_and_who_carried_it(signed_in, entry):
    carrier = MembershipFactory(team=entry.contest.team).user
    typed = {
        "press": "save", "at": "13:14:30", "day": "2027-06-12", "who": carrier.pk,
        "spare_turned_in": "on", "turn_in_note": "A was over.", "late": "",
    }  # fmt: skip
    assert signed_in.post(url_of(entry), typed).status_code == 302
    entry.refresh_from_db()
    assert entry.turned_in_at == CLOSES - timedelta(seconds=30)
    assert (entry.turned_in_by, entry.spare_turned_in) == (carrier, True)
    page = signed_in.get(url_of(entry)).content.decode()
    assert f"The spare turned in 1:14:30 pm by the official clock, {carrier}" in page
    assert "A was over." in page


def test_docked_by_other_points_than_the_book_says(signed_in, cook, entry):
    turn_in(entry=entry, at=CLOSES + timedelta(seconds=20), by=cook.user)
    typed = {"press": "save", "at": "13:15:20", "day": "2027-06-12", "late": "docked",
             "late_points": "2.5"}  # fmt: skip
    signed_in.post(url_of(entry), typed)
    entry.refresh_from_db()
    assert lies_words(entry) == "20 s late, docked by 2.5 points"
    assert entry.turned_in_by == cook.user


def test_taken_back_and_pressed_again(signed_in, entry):
    press(signed_in, entry, "now")
    for _ in range(2):
        press(signed_in, entry, "back")
    entry.refresh_from_db()
    assert (entry.turned_in_at, entry.turned_in_by, entry.version) == (None, None, 3)
    press(signed_in, entry, "now")
    entry.refresh_from_db()
    assert entry.turned_in_at
    assert entry.history.count() == 4


def test_a_box_put_down_as_not_turned_in_was(entry, helper):
    entry.state = Entry.State.NOT_TURNED_IN
    entry.save()
    assert turn_in(entry=entry, at=CLOSES, by=helper.user).state == Entry.State.USUAL


def test_two_phones_putting_it_right_see_each_other(signed_in, cook, entry):
    turn_in(entry=entry, at=CLOSES, by=cook.user)
    typed = {"press": "save", "at": "13:10", "day": "2027-06-12", "seen": "1", "turn_in_note": "x"}
    answer = signed_in.post(url_of(entry), typed)
    assert answer.status_code == 409
    page = answer.content.decode()
    assert f"{cook.user} saved something" in page
    assert 'name="seen" value="2"' in page
    assert 'value="13:10"' in page
    assert "1:15:00 pm" in page
    assert signed_in.post(url_of(entry), typed | {"seen": "2"}).status_code == 302


@pytest.mark.parametrize("typed", [{"at": "x"}, {"at": ""}, {"at": "13:00", "day": "x"}])
def test_a_time_that_is_none_is_said(signed_in, entry, typed):
    answer = signed_in.post(url_of(entry), {"press": "save", "turn_in_note": "kept"} | typed)
    assert answer.status_code == 422
    assert "kept" in answer.content.decode()
    entry.refresh_from_db()
    assert entry.turned_in_at is None


def test_no_such_press(signed_in, entry):
    assert press(signed_in, entry, "eat").status_code == 400


def test_both_clocks_are_named(entry):
    entry.contest.clock_offset_seconds, entry.contest.walk_seconds = 90, 240
    box = turn_in_page(entry, OPENS - timedelta(minutes=5))
    assert box.opens.words == "Opens 1:00:00 pm by the official clock, 12:58:30 pm by ours"
    assert box.opens.at == OPENS - timedelta(seconds=90)
    assert box.leaving.words == "1:09:30 pm"
    assert not box.opens.is_past


def test_the_page_takes_one_query_of_its_own(entry, django_assert_num_queries):
    with django_assert_num_queries(1):
        turn_in_page(entry, OPENS)


def test_disqualified_after_the_sheets_then_taken_back(client, helper, entry):
    client.force_login(helper.user)
    url = url_of(entry, "change_outcome")
    assert "Disqualified?" in client.get(url).content.decode()
    client.post(url, {"judges": "yes", "disqualified_why": "A pick in the box.", "state": ""})
    entry.refresh_from_db()
    assert entry.disqualified
    assert judged_words(entry) == "Disqualified: A pick in the box."
    typed = {"judges": "back", "disqualified_why": "A pick in the box.",
             "overturned_why": "It was another’s.", "state": ""}  # fmt: skip
    client.post(url, typed)
    entry.refresh_from_db()
    assert not entry.disqualified
    assert judged_words(entry) == (
        "Disqualified (A pick in the box.), then taken back: It was another’s."
    )
    assert [row.disqualified for row in entry.history.all()] == [False, True, False]


def test_not_disqualified_after_all_clears_the_words(signed_in, entry):
    url = url_of(entry, "change_outcome")
    signed_in.post(url, {"judges": "yes", "disqualified_why": "x"})
    signed_in.post(url, {"judges": "no", "disqualified_why": "x", "state": "not_judged"})
    entry.refresh_from_db()
    assert (entry.disqualified, entry.disqualified_why) == (False, "")
    assert judged_words(entry) == "Not judged"


def test_taken_back_wants_a_word_and_two_savers_see_each_other(signed_in, cook, entry):
    url = url_of(entry, "change_outcome")
    assert signed_in.post(url, {"judges": "back"}).status_code == 422
    turn_in(entry=entry, at=CLOSES, by=cook.user)
    answer = signed_in.post(url, {"judges": "yes", "disqualified_why": "Mine", "seen": "1"})
    assert answer.status_code == 409
    assert "Mine" in answer.content.decode()
    entry.refresh_from_db()
    assert not entry.disqualified


def test_once_a_total_hangs_on_it_the_scores_page_decides(signed_in, cook, entry):
    entry.placing, entry.late = 3, "taken"
    entry.save()
    settle = reverse("judging:settle_entry", args=[entry.contest.team.slug, entry.pk])
    assert signed_in.get(url_of(entry, "change_outcome")).url == settle
    turn_in(entry=entry, at=CLOSES + timedelta(seconds=20), by=cook.user)
    assert press(signed_in, entry, "late", late="zero").url == settle
    assert "late_points" not in signed_in.get(url_of(entry)).content.decode()
    typed = {"press": "save", "at": "13:16", "day": "2027-06-12", "late": "zero"}
    signed_in.post(url_of(entry), typed)
    press(signed_in, entry, "back")
    entry.refresh_from_db()
    assert (entry.late, entry.turned_in_at) == ("taken", None)


def test_another_teams_box_is_not_found_and_a_reader_may_not(signed_in, client, reader, entry):
    for name in ("turn_in", "change_outcome"):
        other = reverse(f"contests:{name}", args=[entry.contest.team.slug, EntryFactory().pk])
        assert signed_in.get(other).status_code == 404
    client.force_login(reader.user)
    assert client.post(url_of(entry), {"press": "now"}).status_code == 403
