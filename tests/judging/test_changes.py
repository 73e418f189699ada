"""What the team does differently, and since when."""

from datetime import date

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from teamops.judging.models import Change
from tests.factories.judging import ChangeFactory

pytestmark = pytest.mark.django_db


def url(name: str, team, *args) -> str:
    return reverse(f"judging:{name}", args=[team.slug, *args])


def test_an_empty_list_says_what_to_do(signed_in, team):
    page = signed_in.get(url("show_changes", team))
    assert "Write down the first change" in page.text


def test_changes_are_listed_latest_first_and_only_ours(signed_in, team):
    ChangeFactory(team=team, what="Old salt", starts_on="2025-03-01", ends_on="2025-04-01")
    ChangeFactory(team=team, what="New rub", starts_on="2025-05-01", note="A pinch")
    ChangeFactory(what="Theirs")
    page = signed_in.get(url("show_changes", team)).text
    assert page.index("New rub") < page.index("Old salt")
    assert "Theirs" not in page
    assert "still so" in page


def test_a_change_is_written_down(signed_in, team, member):
    data = {"what": "Dry brine", "starts_on": "2025-05-01", "ends_on": "", "note": "overnight"}
    answer = signed_in.post(url("add_change", team), data)
    assert answer.status_code == 302
    change = Change.objects.get()
    assert (change.team, change.what, change.starts_on) == (team, "Dry brine", date(2025, 5, 1))
    assert change.history.get().history_user == member.user


def test_a_change_is_corrected(signed_in, team):
    change = ChangeFactory(team=team)
    data = {"what": "Dry brine", "starts_on": "2025-05-01", "ends_on": "2025-06-01"}
    signed_in.post(url("change_change", team, change.pk), data)
    change.refresh_from_db()
    assert (change.what, change.ends_on) == ("Dry brine", date(2025, 6, 1))


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("what", ""),
        ("what", "x" * 121),
        ("what", "a\0b"),
        ("starts_on", "soon"),
        ("note", "x" * 1001),
    ],
)
def test_what_cannot_be_kept_is_told_beside_its_field(signed_in, team, field, value):
    data = {"what": "Dry brine", "starts_on": "2025-05-01", "note": "kept"} | {field: value}
    page = signed_in.post(url("add_change", team), data)
    assert page.status_code == 422
    assert page.context["form"].errors[field]
    assert page.context["form"]["what" if field != "what" else "note"].value()
    assert not Change.objects.exists()


def test_a_change_that_ends_before_it_starts_is_told(signed_in, team):
    data = {"what": "Dry brine", "starts_on": "2025-05-01", "ends_on": "2025-04-01"}
    page = signed_in.post(url("add_change", team), data)
    assert page.status_code == 422
    assert "A change must start before it ends." in page.text


def test_the_table_itself_refuses_a_change_that_ends_before_it_starts(team):
    with pytest.raises(IntegrityError), transaction.atomic():
        ChangeFactory(team=team, starts_on="2025-05-01", ends_on="2025-04-01")


def test_a_change_is_deleted_after_asking_and_twice_is_once(signed_in, team):
    change = ChangeFactory(team=team)
    assert "Delete" in signed_in.get(url("delete_change", team, change.pk)).text
    assert Change.objects.exists()
    for _ in range(2):
        assert signed_in.post(url("delete_change", team, change.pk)).status_code == 302
    assert not Change.objects.exists()
    assert Change.history.filter(history_type="-").count() == 1


@pytest.mark.parametrize("name", ["change_change", "delete_change"])
def test_another_teams_change_is_not_found(signed_in, team, name):
    theirs = ChangeFactory()
    assert signed_in.get(url(name, team, theirs.pk)).status_code == 404
    signed_in.post(url(name, team, theirs.pk), {"what": "x", "starts_on": "2025-05-01"})
    assert Change.objects.get().what == theirs.what


def test_a_helper_reads_changes_and_does_not_write_them(client, helper, team):
    client.force_login(helper.user)
    change = ChangeFactory(team=team)
    assert client.get(url("show_changes", team)).status_code == 200
    for name, args in (
        ("add_change", []),
        ("change_change", [change.pk]),
        ("delete_change", [change.pk]),
    ):
        assert client.post(url(name, team, *args)).status_code == 403


@pytest.mark.parametrize("count", [1, 20])
def test_the_list_takes_as_many_queries_for_one_as_for_twenty(
    signed_in, team, count, django_assert_num_queries
):
    ChangeFactory.create_batch(count, team=team)
    with django_assert_num_queries(5):
        signed_in.get(url("show_changes", team))
