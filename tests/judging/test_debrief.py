"""The debrief: words that two may write, and points that become to-dos and dated changes."""

from datetime import timedelta

import pytest
from django.urls import reverse

from teamops.contests.models import Contest, Task
from teamops.contests.queries import today_of
from teamops.judging.actions import debrief as actions
from teamops.judging.models import Change, Debrief, OpenPoint
from teamops.judging.queries.debrief import debrief_page
from tests.factories.contests import CategoryFactory, ContestFactory, EntryFactory, TaskFactory
from tests.factories.debrief import DebriefFactory, OpenPointFactory
from tests.factories.photos import EntryPhotoFactory


@pytest.fixture
def contest(team) -> Contest:
    return ContestFactory(team=team, past=True, name="Mill Smoke")


@pytest.fixture
def coming(team) -> Contest:
    return ContestFactory(team=team, name="Lake Fire", held_on=today_of(team) + timedelta(days=20))


def address(name: str, row) -> str:
    team = row.team if isinstance(row, Contest) else row.contest.team
    return reverse(f"judging:{name}", args=[team.slug, row.pk])


def words(seen: int = 0, **more: str) -> dict[str, str]:
    return {"happened": "Rain.", "keep": "The fire.", "change": "Salt.", "seen": str(seen)} | more


def press(client, point, how: str, on: str = ""):
    return client.post(address("settle_point", point), {"press": how, "on": on}, follow=True)


def test_what_was_said_is_kept(signed_in, contest, owner):
    assert signed_in.post(address("show_debrief", contest), words()).status_code == 302
    debrief = Debrief.objects.get()
    assert (debrief.happened, debrief.keep, debrief.change) == ("Rain.", "The fire.", "Salt.")
    assert debrief.changed_by == owner.user
    page = signed_in.get(address("show_debrief", contest)).content.decode()
    assert "The fire." in page
    assert f'name="seen" value="{debrief.version}"' in page


def test_the_same_words_twice_do_no_harm(signed_in, contest):
    for _ in range(2):
        assert signed_in.post(address("show_debrief", contest), words()).status_code == 302
    assert Debrief.objects.count() == 1


@pytest.mark.parametrize("seen", [0, 1])
def test_two_who_write_at_once_see_both(signed_in, helper, contest, seen):
    theirs = DebriefFactory(contest=contest, happened="Sun.")
    theirs.claim(seen=1, by=helper.user)
    answer = signed_in.post(address("show_debrief", contest), words(seen))
    assert answer.status_code == 409
    page = answer.content.decode()
    assert "Sun." in page
    assert "Rain." in page
    assert str(helper.user) in page
    assert 'name="seen" value="2"' in page
    assert Debrief.objects.get().happened == "Sun."
    assert signed_in.post(address("show_debrief", contest), words(2)).status_code == 302
    assert Debrief.objects.get().happened == "Rain."


def test_too_many_words_are_said_and_stay(signed_in, contest):
    answer = signed_in.post(address("show_debrief", contest), words(keep="x" * 2001))
    assert answer.status_code == 422
    assert set(answer.context["form"].errors) == {"keep"}
    assert "x" * 2001 in answer.content.decode()
    assert not Debrief.objects.exists()


def test_points_are_added_a_line_each_and_once(signed_in, contest, owner):
    lines = {"lines": "Buy tongs\r\n\r\n  Salt   earlier \r\nBuy tongs"}
    for _ in range(2):
        signed_in.post(address("add_points", contest), lines)
    rows = OpenPoint.objects.order_by("words")
    assert [(row.words, row.made_by) for row in rows] == [
        ("Buy tongs", owner.user),
        ("Salt earlier", owner.user),
    ]


@pytest.mark.parametrize("lines", ["", " \n ", "y" * 301, "a\0b"])
def test_points_that_cannot_be_kept_are_said(signed_in, contest, lines):
    answer = signed_in.post(address("add_points", contest), {"lines": lines})
    assert answer.status_code == 422
    assert answer.context["points_form"].errors
    assert not OpenPoint.objects.exists()


def test_a_point_becomes_a_to_do_of_the_next_contest_and_leads_back(signed_in, contest, coming):
    point = OpenPointFactory(contest=contest, words="Buy tongs")
    page = signed_in.get(address("show_debrief", contest)).content.decode()
    day = coming.held_on - timedelta(days=7)
    assert f'name="on" value="{day.isoformat()}"' in page
    for _ in range(2):
        page = press(signed_in, point, "task", day.isoformat()).content.decode()
    task = Task.objects.get()
    assert (task.contest, task.title, task.due_on) == (coming, "Buy tongs", day)
    assert "From the debrief of Mill Smoke" in task.note
    assert reverse("contests:change_task", args=[contest.team.slug, task.pk]) in page
    there = reverse("contests:show_contest", args=[contest.team.slug, coming.pk])
    back = reverse("judging:find_debrief", args=[contest.team.slug, task.pk])
    assert back in signed_in.get(there).content.decode()
    assert signed_in.get(back).url == address("show_debrief", contest)


def test_without_a_contest_ahead_it_stays_with_this_one(signed_in, contest):
    point = OpenPointFactory(contest=contest)
    page = press(signed_in, point, "task", "2030-01-02").content.decode()
    assert Task.objects.get().contest == contest
    assert "No contest is ahead" in page


def test_a_point_becomes_a_change_from_the_next_contests_day(signed_in, contest, coming):
    point = OpenPointFactory(contest=contest, words="Dry brine overnight")
    for _ in range(2):
        press(signed_in, point, "change")
    change = Change.objects.get()
    assert (change.what, change.starts_on) == ("Dry brine overnight", coming.held_on)
    page = signed_in.get(reverse("insight:show_changes", args=[contest.team.slug])).content.decode()
    assert address("show_debrief", contest) in page


def test_a_long_point_is_whole_in_the_note(contest, owner, coming):
    said = "salt " * 50
    point = OpenPointFactory(contest=contest, words=said.strip())
    actions.make_change(point=point, starts_on=coming.held_on, by=owner.user)
    change = Change.objects.get()
    assert len(change.what) <= 120
    assert said.strip() in change.note


@pytest.mark.parametrize("how", ["task", "change", "drop"])
def test_what_became_of_a_point_is_undone(signed_in, contest, coming, how):
    point = OpenPointFactory(contest=contest)
    press(signed_in, point, how, "2030-01-02")
    assert not debrief_page(contest).points[0].is_open
    for _ in range(2):
        press(signed_in, point, "reopen")
    assert debrief_page(contest).points[0].is_open
    assert not Task.objects.exists()
    assert not Change.objects.exists()


def test_a_to_do_that_is_done_stays(signed_in, contest, coming, owner):
    point = OpenPointFactory(contest=contest)
    press(signed_in, point, "task", "2030-01-02")
    signed_in.post(
        reverse("contests:set_task_done", args=[contest.team.slug, Task.objects.get().pk]),
        {"done": "yes"},
    )
    page = press(signed_in, point, "reopen").content.decode()
    assert "done already, so it stays" in page
    assert Task.objects.exists()


def test_a_point_whose_to_do_was_deleted_is_open_again(contest, owner, coming):
    point = OpenPointFactory(contest=contest)
    actions.make_task(point=point, contest=coming, due_on=coming.held_on, by=owner.user)
    Task.objects.get().delete()
    assert debrief_page(contest).points[0].is_open


@pytest.mark.parametrize(("how", "on"), [("task", ""), ("task", "soon"), ("eat", ""), ("", "")])
def test_a_press_that_is_none_changes_nothing(signed_in, contest, how, on):
    point = OpenPointFactory(contest=contest)
    assert "as it was" in press(signed_in, point, how, on).content.decode()
    assert debrief_page(contest).points[0].is_open


def test_results_and_photos_stand_beside_it(signed_in, contest):
    entry = EntryFactory(contest=contest, placing=3, field_size=42, official_total="190.5")
    shown = EntryPhotoFactory(entry=entry)
    page = signed_in.get(address("show_debrief", contest)).content.decode()
    assert "190.5, 3rd of 42" in page
    assert f"/photos/{shown.pk}/?size=small" in page


@pytest.mark.parametrize("many", [1, 6])
def test_the_page_takes_the_same_queries_however_full(
    signed_in, contest, coming, owner, many, django_assert_num_queries
):
    for n in range(many):
        category = CategoryFactory(team=contest.team, name=f"Dish {n}")
        entry = EntryFactory(contest=contest, category=category, cook_of_record=owner.user)
        EntryPhotoFactory(entry=entry)
        point = OpenPointFactory(contest=contest)
        actions.make_task(point=point, contest=coming, due_on=coming.held_on, by=owner.user)
    url = address("show_debrief", contest)
    with django_assert_num_queries(9):  # session, person, door, contest; 5 of the page
        signed_in.get(url)


def test_a_reader_reads_and_a_helper_writes_but_does_not_plan(client, reader, helper, contest):
    point = OpenPointFactory(contest=contest, words="Buy tongs")
    DebriefFactory(contest=contest)
    client.force_login(reader.user)
    page = client.get(address("show_debrief", contest)).content.decode()
    assert "Wind from the left" in page
    assert "<textarea" not in page
    assert client.post(address("show_debrief", contest), words()).status_code == 403
    assert client.post(address("add_points", contest), {"lines": "x"}).status_code == 403
    client.force_login(helper.user)
    assert client.post(address("show_debrief", contest), words(1)).status_code == 302
    assert client.post(address("settle_point", point), {"press": "drop"}).status_code == 403
    assert "Make it a to-do" not in client.get(address("show_debrief", contest)).content.decode()


def test_another_teams_debrief_and_points_are_not_found(signed_in, team):
    other, point, task = ContestFactory(), OpenPointFactory(), TaskFactory()
    for name, pk in (
        ("show_debrief", other.pk),
        ("add_points", other.pk),
        ("settle_point", point.pk),
        ("find_debrief", task.pk),
    ):
        url = reverse(f"judging:{name}", args=[team.slug, pk])
        answer = signed_in.get(url) if name == "find_debrief" else signed_in.post(url, {})
        assert answer.status_code == 404


def test_a_to_do_of_ones_own_leads_to_its_contest(signed_in, contest):
    task = TaskFactory(contest=contest)
    answer = signed_in.get(reverse("judging:find_debrief", args=[contest.team.slug, task.pk]))
    assert answer.url == reverse("contests:show_contest", args=[contest.team.slug, contest.pk])
