"""Until when a box may be protested, by whose clock, and what was made of it."""

from datetime import UTC, datetime, timedelta
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from teamops.contests.models import Protest
from teamops.contests.queries.protest import protest_state
from tests.factories.contests import ContestFactory, EntryFactory
from tests.factories.day import ProtestFactory
from tests.factories.rules import RulebookFactory

AWARDS = datetime(2027, 6, 12, 21, 10, tzinfo=UTC)  # 4:10 pm in Chicago
NOON = datetime(2027, 6, 12, 17, 0, tzinfo=UTC)


@pytest.fixture
def entry(team):
    contest = ContestFactory(team=team, held_on=AWARDS.date(), awards_at=AWARDS)
    return EntryFactory(contest=contest, rulebook=RulebookFactory(protest_minutes=30))


def url_of(name, team, row):
    return reverse(f"contests:{name}", args=[team.slug, row.pk])


def test_the_rulebooks_minutes_count_from_the_awards(entry):
    state = protest_state(entry, AWARDS + timedelta(minutes=10))
    assert state.words == "Protest until 4:40 pm by the official clock"
    assert state.seconds_left == 20 * 60
    assert state.is_running
    assert state.how == f"30 minutes from the awards, 4:10 pm, by {entry.rulebook}"


def test_the_meetings_minutes_and_the_posting_go_before(entry):
    entry.contest.protest_minutes = 15
    state = protest_state(entry, AWARDS, posted_at=AWARDS + timedelta(minutes=20))
    assert state.words == "Protest until 4:45 pm by the official clock"
    assert state.how == "15 minutes from the posting, 4:30 pm, as said at the contest"


def test_a_fast_official_clock_ends_it_sooner_by_ours(entry):
    entry.contest.clock_offset_seconds = 90
    last = AWARDS + timedelta(minutes=30)
    state = protest_state(entry, last - timedelta(seconds=91))
    assert (state.until, state.ends_at) == (last, last - timedelta(seconds=90))
    assert state.seconds_left == 1
    over = protest_state(entry, last - timedelta(seconds=90))
    assert not over.is_running
    assert over.words == "The time to protest was up at 4:40 pm by the official clock"


def test_what_is_not_known_is_said(entry):
    entry.contest.awards_at = None
    state = protest_state(entry, NOON)
    assert state.words == "30 minutes to protest, counted once the time of the awards is known."
    entry.rulebook.protest_minutes = None
    assert "is not known" in protest_state(entry, NOON).words
    assert not state.is_running


def test_reading_it_takes_one_query(entry, django_assert_num_queries):
    for _ in range(3):
        ProtestFactory(entry=entry)
    with django_assert_num_queries(1):
        assert len(protest_state(entry, NOON).rows) == 3


def test_a_helper_lodges_one_and_pressing_twice_lodges_no_second(client, helper, entry):
    client.force_login(helper.user)
    typed = {"reason": "Sheet 3 is another box’s.", "protest": str(uuid4())}
    for _ in range(2):
        assert client.post(url_of("add_protest", helper.team, entry), typed).status_code == 302
    protest = Protest.objects.get()
    assert (protest.reason, protest.lodged_by) == (typed["reason"], helper.user)
    assert timezone.now() - protest.lodged_at < timedelta(minutes=1)
    client.post(url_of("add_protest", helper.team, entry), typed | {"reason": "Another."})
    assert Protest.objects.count() == 2


def test_a_late_protest_is_kept_and_said(signed_in, team, entry):
    typed = {"reason": "The sum is wrong.", "at": "16:42:30", "day": "2027-06-12"}
    signed_in.post(url_of("add_protest", team, entry), typed)
    (row,) = protest_state(entry, NOON).rows
    assert row.late == "2 min 30 s after the time was up"
    assert row.lodged.endswith("4:42:30 pm")


def test_a_protest_wants_its_reason_and_keeps_what_was_typed(signed_in, team, entry):
    answer = signed_in.post(url_of("add_protest", team, entry), {"at": "16:15", "day": "x"})
    assert answer.status_code == 422
    assert set(answer.context["form"].errors) == {"reason", "day"}
    assert 'value="16:15"' in answer.content.decode()
    assert not Protest.objects.exists()


@pytest.mark.parametrize(
    ("outcome", "words"),
    [("upheld", "upheld"), ("denied", "turned down"), ("withdrawn", "withdrawn")],
)
def test_what_came_of_it(client, helper, entry, outcome, words):
    client.force_login(helper.user)
    protest = ProtestFactory(entry=entry, reason="Too late?", lodged_at=AWARDS)
    url = url_of("change_protest", helper.team, protest)
    assert "Too late?" in client.get(url).content.decode()
    typed = {"outcome": outcome, "outcome_note": "Head judge looked.", "reason": "Too late?"}
    client.post(url, typed | {"at": "16:30", "day": "2027-06-12"})
    (row,) = protest_state(entry, NOON).rows
    assert (row.outcome, row.note) == (words, "Head judge looked. (4:30 pm)")
    client.post(url, typed | {"outcome": ""})
    protest.refresh_from_db()
    assert protest.decided_at is None


def test_deciding_without_a_time_is_now_and_stays(signed_in, team, entry):
    protest = ProtestFactory(entry=entry)
    url = url_of("change_protest", team, protest)
    for _ in range(2):
        signed_in.post(url, {"outcome": "upheld", "reason": "x"})
    protest.refresh_from_db()
    assert timezone.now() - protest.decided_at < timedelta(minutes=1)


def test_another_teams_protest_is_not_found(signed_in, team):
    assert signed_in.get(url_of("change_protest", team, ProtestFactory())).status_code == 404
    assert signed_in.get(url_of("add_protest", team, EntryFactory())).status_code == 404


def test_a_reader_may_not(client, reader, entry):
    client.force_login(reader.user)
    assert client.get(url_of("add_protest", reader.team, entry)).status_code == 403


def test_undecided_has_no_moment(entry):
    with pytest.raises(IntegrityError), transaction.atomic():
        ProtestFactory(entry=entry, decided_at=AWARDS)
