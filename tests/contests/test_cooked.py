"""Doneness as seen, pull, last seen and peak: typed in the team's units, odd ones kept."""

from decimal import Decimal

import pytest
from django.urls import reverse

from teamops.contests import steps
from teamops.contests.queries.cooked import LEAST_C, cooked_of, under_minimum
from teamops.teams.models import Team
from tests.factories.contests import CategoryFactory, EntryFactory


@pytest.fixture
def entry(team):
    return EntryFactory(contest__team=team)


def url_of(entry) -> str:
    return reverse("contests:note_cook", args=[entry.contest.team.slug, entry.pk])


def typed(**more: str) -> dict[str, str]:
    return {
        "doneness_seen": "right",
        "pull_c": "136",
        "last_seen_c": "141.5",
        "peak_c": "146",
        "seen": "1",
    } | more


def test_what_was_seen_is_kept_and_shown(signed_in, entry):
    assert signed_in.post(url_of(entry), typed()).status_code == 302
    entry.refresh_from_db()
    assert entry.doneness_seen == "right"
    assert entry.pull_c == Decimal("57.7778")
    photos = reverse("contests:add_photo", args=[entry.contest.team.slug, entry.pk])
    page = signed_in.get(photos).content.decode()
    for words in ("right", "136 °F", "141.5 °F", "146 °F"):
        assert f"<b>{words}</b>" in page


@pytest.mark.parametrize("units", Team.Units.values)
@pytest.mark.parametrize("value", ["136", "57.5", "57,5", "0", "-4", "212.1", "145.9"])
def test_it_reads_back_as_it_was_typed(signed_in, entry, team, units, value):
    team.units = units
    team.save()
    assert signed_in.post(url_of(entry), typed(pull_c=value)).status_code == 302
    page = signed_in.get(url_of(entry)).content.decode()
    assert f'name="pull_c" value="{value.replace(",", ".")}"' in page


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"peak_c": "130"}, "The peak is below the pull"),
        ({"last_seen_c": "150"}, "The peak is below what was last seen"),
        ({"peak_c": "250"}, "no hotter than boiling water, 212 °F"),
        ({"pull_c": "20"}, "that is frozen"),
    ],
)
def test_what_is_odd_is_kept_and_pointed_out(signed_in, entry, more, words):
    answer = signed_in.post(url_of(entry), typed(**more), follow=True)
    assert answer.content.decode().count(words) >= 2  # said at once, and beside the photos
    entry.refresh_from_db()
    assert entry.doneness_seen == "right"


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ("hot", "Write a number"),
        ("136.25", "to a tenth"),
        ("99999", "check the number"),
        ("1e9", "check the number"),
        ("NaN", "Write a number"),
    ],
)
def test_what_cannot_be_stored_is_said_at_its_field(signed_in, entry, value, words):
    answer = signed_in.post(url_of(entry), typed(peak_c=value))
    assert answer.status_code == 422
    assert words in str(answer.context["form"].errors["peak_c"])
    page = answer.content.decode()
    assert f'value="{value}"' in page
    assert 'value="141.5"' in page
    entry.refresh_from_db()
    assert entry.pull_c is None


def test_two_who_note_at_once_see_each_other(signed_in, client, entry):
    signed_in.post(url_of(entry), typed(peak_c="150"))
    answer = signed_in.post(url_of(entry), typed(peak_c="147"))
    assert answer.status_code == 409
    page = answer.content.decode()
    assert "Peak: 150 °F" in page
    assert 'name="peak_c" value="147"' in page
    assert 'name="seen" value="2"' in page
    signed_in.post(url_of(entry), typed(peak_c="147", seen="2"))
    entry.refresh_from_db()
    assert entry.peak_c == Decimal("63.8889")


@pytest.mark.outside(
    "published: FSIS safe minimum temperatures, whole cuts of beef, 145 °F and rest"
)
def test_a_peak_under_the_published_minimum_is_said_as_on_the_prep_sheet(team):
    entry = EntryFactory(contest__team=team, peak_c=LEAST_C - Decimal("0.1"))
    assert (
        "under the published minimum for whole cuts of beef (145 °F"
        in cooked_of(entry, "us").caution
    )
    assert "(62.8 °C and 3 minutes" in cooked_of(entry, "si").caution
    assert under_minimum("us") in steps.UNDER
    entry.peak_c = LEAST_C
    assert cooked_of(entry, "us").caution == ""


def test_the_minimum_of_beef_is_not_said_of_an_ancillary(team):
    category = CategoryFactory(team=team, name="Chicken", ancillary=True)
    entry = EntryFactory(contest__team=team, category=category, peak_c=Decimal(50))
    assert cooked_of(entry, "us").caution == ""
