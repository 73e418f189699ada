"""Something official about an entry, put right on one day, with a word that stays."""

from datetime import date
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from teamops.contests.models import Entry
from teamops.judging.actions import correct_entry
from teamops.judging.models import Correction, Result
from teamops.judging.queries import corrections_of
from teamops.teams.versions import Conflict
from tests.factories.contests import EntryFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def entry(team) -> Entry:
    return EntryFactory(
        contest__team=team, contest__past=True, placing=3, official_total=Decimal("182.5"),
        field_size=24, prize_owed=Decimal(100),
    )  # fmt: skip


def url_of(entry: Entry) -> str:
    return reverse("judging:add_correction", args=[entry.contest.team.slug, entry.pk])


def form_of(entry: Entry, **more) -> dict:
    return {
        "official_total": "182.5", "placing": "3", "field_size": "24", "tie_way": "",
        "disqualified_why": "", "overturned_why": "", "prize_owed": "100", "prize_note": "",
        "corrected_on": "2025-06-19", "why": "", "seen": entry.version,
    } | more  # fmt: skip


def correct(entry: Entry, by, **official):
    return correct_entry(
        entry=entry, seen=entry.version, official=official, corrected_on=date(2025, 6, 19),
        why="head judge called", by=by,
    )  # fmt: skip


def test_the_page_shows_what_is_official_now(signed_in, entry):
    page = signed_in.get(url_of(entry)).text
    assert 'value="182.5"' in page
    assert 'value="24"' in page


def test_a_correction_writes_the_entry_and_a_dated_word(signed_in, entry, member):
    data = form_of(entry, placing="4", official_total="181", why="a judge’s sheet was ours")
    answer = signed_in.post(url_of(entry), data)
    assert answer.url == url_of(entry)
    entry.refresh_from_db()
    assert (entry.placing, entry.official_total) == (4, Decimal(181))
    assert entry.history.first().history_user == member.user
    row = Correction.objects.get()
    assert row.what == (
        "Placing 3rd → 4th, posted total 182.5 → 181. "
        "The prize of 100 was written for 3rd: it may move."
    )
    assert (row.why, row.corrected_on) == ("a judge’s sheet was ours", date(2025, 6, 19))
    assert row.recorded_by == member.user
    page = signed_in.get(url_of(entry)).text
    assert "Placing 3rd → 4th" in page
    assert "written down by" in page


def test_the_prize_that_moves_is_written_too(entry, member):
    row = correct(
        entry, member.user, placing=4, prize_owed=Decimal(50), prize_note="paid by cheque"
    )
    assert row.what == "Placing 3rd → 4th, prize 100 → 50, about the prize: paid by cheque."


def test_disqualified_after_the_sheets_and_overturned(entry, member):
    """The mark against the box comes and goes; both days stay written."""
    first = correct(entry, member.user, disqualified=True, disqualified_why="foil in the box")
    entry.refresh_from_db()
    assert entry.disqualified
    second = correct(
        entry, member.user, disqualified=False, disqualified_why="", overturned_why="protest upheld"
    )
    entry.refresh_from_db()
    assert not entry.disqualified
    assert first.what == "Disqualified, reason given: foil in the box."
    assert second.what == ("The disqualification taken back, taken back because: protest upheld.")


def test_a_tie_settled_by_a_draw_is_noted(entry, member):
    row = correct(entry, member.user, tied=True, tie_way="draw")
    assert row.what == "Tied for this place, the tie was settled: by a draw."


def test_nothing_different_writes_nothing(signed_in, entry):
    answer = signed_in.post(url_of(entry), form_of(entry))
    assert answer.status_code == 302
    assert not Correction.objects.exists()
    entry.refresh_from_db()
    assert entry.version == 1


def test_the_same_page_sent_twice_corrects_once(signed_in, entry):
    data = form_of(entry, placing="4")
    for _ in range(2):
        assert signed_in.post(url_of(entry), data).status_code == 302
    assert Correction.objects.count() == 1


def test_somebody_else_wrote_meanwhile(signed_in, entry, cook):
    correct(entry, cook.user, placing=5)
    page = signed_in.post(url_of(entry), form_of(entry, placing="4"))
    assert page.status_code == 409
    assert "Placing 5th → 4th" in page.text
    assert 'value="4"' in page.text
    again = form_of(entry, placing="4", seen=page.context["seen"])
    assert signed_in.post(url_of(entry), again).status_code == 302
    entry.refresh_from_db()
    assert entry.placing == 4


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("placing", "third", "Write a whole number"),
        ("placing", "0", "Counting starts at 1."),
        ("placing", "40000", "No field is that large"),
        ("official_total", "many", "is not a number"),
        ("corrected_on", "", "Say which day"),
        ("prize_owed", "-5", "cannot be negative"),
        ("why", "x" * 301, "at most 300"),
        ("tie_way", "fight", "Select a valid choice"),
    ],
)
def test_what_cannot_be_kept_is_said_beside_its_field(signed_in, entry, field, value, words):
    page = signed_in.post(url_of(entry), form_of(entry, **{"prize_note": "half"} | {field: value}))
    assert page.status_code == 422
    assert words in page.text
    assert "half" in page.text
    assert not Correction.objects.exists()


def test_strangers_find_nothing_and_readers_may_not(client, entry, stranger, reader):
    client.force_login(stranger.user)
    assert client.post(url_of(entry), form_of(entry)).status_code == 404
    client.force_login(reader.user)
    assert client.post(url_of(entry), form_of(entry)).status_code == 403


def test_only_what_an_organiser_posts_can_be_corrected(entry, member):
    with pytest.raises(ValidationError):
        correct(entry, member.user, notes="x")
    with pytest.raises(Conflict):
        correct_entry(
            entry=entry, seen=7, official={"placing": 9}, corrected_on=date(2025, 6, 19), why="",
            by=member.user,
        )  # fmt: skip
    assert not Correction.objects.exists()


def test_results_follow_a_correction(entry, member):
    correct(entry, member.user, official_total=Decimal(190))
    assert Result.objects.get(entry=entry).basis == Result.Basis.TOTAL


def test_very_long_reasons_still_fit(entry, member):
    row = correct(
        entry, member.user, disqualified=True, disqualified_why="x" * 300, overturned_why="y" * 300
    )
    assert len(row.what) == 500


@pytest.mark.parametrize("length", [1, 20])
def test_corrections_take_one_query_latest_first(entry, member, length, django_assert_num_queries):
    for number in range(length):
        Correction.objects.create(
            entry=entry, corrected_on=date(2025, 6, 1 + number), what=f"No {number}",
            recorded_by=member.user,
        )  # fmt: skip
    with django_assert_num_queries(1):
        rows = corrections_of(entry)
    assert rows[0].what == f"No {length - 1}"
