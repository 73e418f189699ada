"""What the team does differently, and since when."""

from datetime import date, timedelta

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from teamops.contests.models import Contest
from teamops.judging import actions
from teamops.judging.models import Change, ChangeUse
from teamops.judging.queries.changes import how_it_stands, uses_of
from tests.factories.contests import ContestFactory, EntryFactory
from tests.factories.judging import ChangeFactory, scored_entry
from tests.factories.teams import UserFactory

pytestmark = pytest.mark.django_db


def url(name: str, team, *args) -> str:
    return reverse(f"judging:{name}", args=[team.slug, *args])


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


@pytest.mark.parametrize("name", ["change_change", "delete_change", "plan_change"])
def test_another_teams_change_is_not_found(signed_in, team, name):
    theirs = ChangeFactory()
    if name != "plan_change":
        assert signed_in.get(url(name, team, theirs.pk)).status_code == 404
    signed_in.post(url(name, team, theirs.pk), {"what": "x", "starts_on": "2025-05-01"})
    assert Change.objects.get().what == theirs.what


def test_a_helper_reads_changes_and_does_not_write_them(client, helper, team):
    client.force_login(helper.user)
    change = ChangeFactory(team=team)
    for name, args in (("show_changes", []), ("show_change", [change.pk])):
        there = reverse(f"insight:{name}", args=[team.slug, *args])
        assert client.get(there).status_code == 200
    for name, args in (
        ("add_change", []),
        ("change_change", [change.pk]),
        ("delete_change", [change.pk]),
        ("plan_change", [change.pk]),
    ):
        assert client.post(url(name, team, *args)).status_code == 403


# Contest by contest


@pytest.fixture
def held(team) -> list[Contest]:
    """Two contests that are over, with papers, and two that are coming."""
    past = [scored_entry(EntryFactory(contest__team=team, contest__past=True), NINES).contest
            for _ in range(2)]  # fmt: skip
    days = (timezone.localdate() + timedelta(days=n) for n in (7, 14))
    return [*past, *(ContestFactory(team=team, held_on=day, state="accepted") for day in days)]


NINES = [["9"] * 5] * 3


def typed(change: Change, **more: object) -> dict[str, object]:
    data = {"what": change.what, "starts_on": change.starts_on, "note": change.note}
    return {name: value or "" for name, value in (data | more).items()}


def use(contest: Contest) -> str:
    return f"use_{contest.pk.hex}"


def said(change: Change) -> dict[object, bool]:
    return dict(change.uses.values_list("contest_id", "on"))


def test_a_contest_goes_over_the_days_and_back(signed_in, team, member, held):
    change = ChangeFactory(team=team, starts_on="2025-04-01")
    past, _, coming, _ = held
    data = typed(change, **{use(past): "off", use(coming): "on"})
    signed_in.post(url("change_change", team, change.pk), data)
    assert said(change) == {past.pk: False, coming.pk: True}
    assert ChangeUse.history.filter(history_user=member.user, history_type="+").count() == 2
    page = signed_in.get(url("change_change", team, change.pk)).text
    assert '<option value="off" selected>without it here' in page
    data = typed(change, **{use(past): "", use(coming): "off"})
    signed_in.post(url("change_change", team, change.pk), data)
    assert said(change) == {coming.pk: False}
    kinds = ChangeUse.history.filter(change_id=change.pk).values_list("history_type", flat=True)
    assert sorted(kinds) == ["+", "+", "-", "~"]


def test_a_new_change_is_kept_whole_with_its_contests(signed_in, team, held):
    ribeye = held[0].entries.get().category
    data = {"what": "Oak", "starts_on": "2030-01-01", "category": ribeye.pk, use(held[1]): "on"}
    answer = signed_in.post(url("add_change", team), data)
    change = Change.objects.get()
    assert answer.url == reverse("insight:show_change", args=[team.slug, change.pk])
    assert change.category == ribeye
    assert said(change) == {held[1].pk: True}


def test_the_form_says_what_the_days_mean_at_each_contest(signed_in, team, held):
    change = ChangeFactory(team=team, starts_on=held[2].held_on, ends_on=held[2].held_on)
    page = signed_in.get(url("change_change", team, change.pk)).text
    assert page.count("as its days say: with it<") == 1
    assert page.count("as its days say: without it<") == 3
    assert page.index(use(held[2])) < page.index(use(held[3])) < page.index(use(held[0]))


def test_nothing_typed_is_lost_when_something_is_wrong(signed_in, team, held):
    data = {"what": "Oak", "starts_on": "soon", "note": "dry", use(held[0]): "on"}
    page = signed_in.post(url("add_change", team), data)
    assert page.status_code == 422
    assert '<option value="on" selected>with it here' in page.text
    assert "dry" in page.text
    page = signed_in.post(url("add_change", team), data | {use(held[0]): "perhaps"})
    assert page.status_code == 422
    assert "Choose one of the three." in page.text
    assert not Change.objects.exists()


def test_contests_of_others_and_practices_are_not_asked_for(signed_in, team, held):
    theirs = scored_entry(EntryFactory(contest__past=True), NINES).contest
    practice = ContestFactory(team=team, kind="practice", held_on=held[2].held_on)
    off = ContestFactory(team=team, state="cancelled", held_on=held[2].held_on)
    page = signed_in.get(url("add_change", team)).text
    for contest in (theirs, practice, off):
        assert use(contest) not in page
    change = ChangeFactory(team=team)
    with pytest.raises(ValidationError):
        actions.save_change(change=change, uses={theirs.pk: True}, by=UserFactory())
    with pytest.raises(ValidationError):
        actions.save_change(
            change=Change(team=team, what="x", starts_on=date(2025, 1, 1),
                          category=theirs.entries.get().category),
            by=UserFactory(),
        )  # fmt: skip


def seen(change: Change) -> str:
    return how_it_stands(change, uses_of(change))


def test_two_people_see_each_other_and_nothing_is_lost(signed_in, team, cook, held):
    change = ChangeFactory(team=team, what="Dry brine")
    before = seen(Change.objects.get())
    theirs = Change.objects.get()
    theirs.what = "Wet brine"
    actions.save_change(change=theirs, uses={held[0].pk: False}, by=cook.user)
    mine = typed(change, what="Dry brine, a day", seen=before, **{use(held[0]): "on"})
    answer = signed_in.post(url("change_change", team, change.pk), mine)
    assert answer.status_code == 409
    page = " ".join(answer.text.split())
    assert f"{cook.user} saved this while you typed" in page
    assert "<td>Wet brine</td><td>Dry brine, a day</td>" in page
    assert "<td>without it here</td><td>with it here</td>" in page
    assert Change.objects.get().what == "Wet brine"
    signed_in.post(url("change_change", team, change.pk), mine | {"seen": answer.context["seen"]})
    assert Change.objects.get().what == "Dry brine, a day"
    assert said(change) == {held[0].pk: True}


def test_the_same_page_sent_twice_does_no_harm(signed_in, team, held):
    change = ChangeFactory(team=team, what="Dry brine")
    data = typed(change, what="Wet brine", seen=seen(Change.objects.get()), **{use(held[2]): "on"})
    for _ in range(2):
        assert signed_in.post(url("change_change", team, change.pk), data).status_code == 302
    assert said(change) == {held[2].pk: True}
    assert Change.history.count() == 2  # made, altered once
    assert ChangeUse.history.count() == 1


def test_deleting_takes_what_is_said_of_its_contests_along(signed_in, team, held):
    change = ChangeFactory(team=team)
    ChangeUse.objects.create(change=change, contest=held[0], on=True)
    signed_in.post(url("delete_change", team, change.pk))
    assert not ChangeUse.objects.exists()
    assert ChangeUse.history.filter(history_type="-").count() == 1


def test_a_plan_is_kept_by_one_press_and_twice_is_once(signed_in, team, held):
    change = ChangeFactory(team=team)
    plan = {"on": [held[2].pk], "off": [held[3].pk], "seen": seen(Change.objects.get())}
    for _ in range(2):
        page = signed_in.post(url("plan_change", team, change.pk), plan, follow=True)
        assert "The plan is kept." in page.text
    assert said(change) == {held[2].pk: True, held[3].pk: False}
    assert ChangeUse.history.count() == 2


def test_a_plan_is_not_kept_over_what_somebody_altered(signed_in, team, cook, held):
    change = ChangeFactory(team=team)
    before = seen(Change.objects.get())
    actions.save_change(change=Change.objects.get(), uses={held[2].pk: False}, by=cook.user)
    plan = {"on": [held[2].pk], "seen": before}
    page = signed_in.post(url("plan_change", team, change.pk), plan, follow=True)
    assert "Somebody altered the change meanwhile." in page.text
    assert said(change) == {held[2].pk: False}


@pytest.mark.parametrize("wrong", ["past", "foreign", "nonsense"])
def test_a_plan_is_for_coming_contests_of_ours(signed_in, team, held, wrong):
    change = ChangeFactory(team=team)
    key = {"past": held[0].pk, "foreign": ContestFactory().pk, "nonsense": "x"}[wrong]
    page = signed_in.post(url("plan_change", team, change.pk), {"on": [key]}, follow=True)
    assert "The plan is not kept." in page.text
    assert not ChangeUse.objects.exists()


def test_the_table_itself_keeps_one_word_a_contest(team, held):
    change = ChangeFactory(team=team)
    ChangeUse.objects.create(change=change, contest=held[0], on=True)
    with pytest.raises(IntegrityError), transaction.atomic():
        ChangeUse.objects.create(change=change, contest=held[0], on=False)


@pytest.mark.parametrize("contests", [1, 12])
def test_the_form_takes_as_many_queries_for_one_contest_as_for_twelve(
    signed_in, team, contests, django_assert_num_queries
):
    ContestFactory.create_batch(contests, team=team, held_on=timezone.localdate())
    with django_assert_num_queries(5):  # three of them sign in
        signed_in.get(url("add_change", team))
