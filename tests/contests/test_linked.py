"""Lists behind a link: one list, no account, until it is taken back."""

from datetime import date
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from teamops.contests.models import Task
from teamops.contests.steps import add_steak_steps
from teamops.teams.actions.list_links import make_link, revoke_link
from teamops.teams.models import ListLink
from teamops.teams.roles import Role
from tests.factories.contests import ContestFactory, EntryFactory, TaskFactory

Kind, May = ListLink.Kind, ListLink.May


@pytest.fixture
def contest(team):
    return ContestFactory(team=team, name="Gravel Bar Final", held_on=date(2027, 6, 12))


@pytest.fixture
def task(contest):
    return TaskFactory(contest=contest, title="Order ribeyes", caution="Raw meat rides alone.")


def path_of(contest, by, kind=Kind.CHECKLIST, may=May.TICK, label="Marta") -> str:
    """The path of a new link, as its owner would send it."""
    _, address = make_link(
        team=contest.team, kind=kind, object_id=contest.pk, label=label, may=may, by=by.user
    )
    return "/" + address.split("/", 3)[3]


def test_a_partner_opens_the_list_and_ticks_a_line(contest, task, cook):
    TaskFactory(contest=ContestFactory(team=contest.team), title="Of another contest")
    path, guest = path_of(contest, cook), Client()
    said = guest.get(path).content.decode()
    assert "Gravel Bar Final" in said
    assert "Order ribeyes" in said
    assert "Raw meat rides alone." in said
    assert "Of another contest" not in said
    assert "/t/" not in said  # nothing else of the team is reachable from here
    answer = guest.post(f"{path}tick/", {"done": task.pk})
    assert (answer.status_code, answer.url) == (302, f"../#line-{task.pk}")
    task.refresh_from_db()
    assert (task.done_by, task.done_as) == (cook.user, "Marta")
    assert "done by Marta’s link" in guest.get(path).content.decode()


def test_the_address_leaks_nowhere_and_no_cookie_is_set(contest, task, cook):
    path, guest = path_of(contest, cook), Client(enforce_csrf_checks=True)
    for answer in (guest.get(path), guest.post(f"{path}tick/", {"done": task.pk})):
        assert answer["Referrer-Policy"] == "no-referrer"
        assert answer["Cache-Control"] == "private, no-store"
        assert answer["X-Robots-Tag"] == "noindex, nofollow"
        assert not answer.cookies
    said = guest.get(path).content.decode()
    assert "http" not in said.replace('xmlns="http', "")
    assert "<script" not in said
    task.refresh_from_db()
    assert task.done_at


def test_two_partners_tick_one_line_and_the_first_stays(contest, task, cook, owner):
    first, second = path_of(contest, cook), path_of(contest, owner, label="Jo")
    Client().post(f"{first}tick/", {"done": task.pk})
    assert Client().post(f"{second}tick/", {"done": task.pk}).status_code == 302
    task.refresh_from_db()
    assert (task.done_by, task.done_as) == (cook.user, "Marta")


def test_a_person_of_the_team_ticks_after_a_link_and_is_named(client, contest, task, cook, helper):
    path = path_of(contest, cook)
    Client().post(f"{path}tick/", {"done": task.pk})
    client.force_login(helper.user)
    url = reverse("contests:set_task_done", args=[contest.team.slug, task.pk])
    client.post(url, {"done": "no"})
    client.post(url, {"done": "yes"})
    task.refresh_from_db()
    assert (task.done_by, task.done_as) == (helper.user, "")


def test_a_link_that_only_shows_does_not_tick(contest, task, cook):
    path = path_of(contest, cook, may=May.SEE)
    assert "<button" not in Client().get(path).content.decode()
    assert Client().post(f"{path}tick/", {"done": task.pk}).status_code == 403
    task.refresh_from_db()
    assert task.done_at is None


def test_taken_back_wrong_of_another_kind_or_of_a_deleted_contest_nobody_finds_it(
    contest, task, cook
):
    path, guest = path_of(contest, cook), Client()
    assert guest.get(path).status_code == 200
    assert guest.get("/l/todos/not-a-secret/").status_code == 404
    assert guest.get(path.replace("/todos/", "/prep/")).status_code == 404
    revoke_link(link=ListLink.objects.get(), by=cook.user)
    revoke_link(link=ListLink.objects.get(), by=cook.user)  # twice is once
    assert guest.get(path).status_code == 404
    assert guest.post(f"{path}tick/", {"done": task.pk}).status_code == 404
    other = path_of(contest, cook)
    contest.delete()
    assert guest.get(other).status_code == 404


def test_another_contests_task_or_no_task_is_refused(contest, cook):
    path = path_of(contest, cook)
    ours, theirs = TaskFactory(contest=ContestFactory(team=contest.team)), TaskFactory()
    for pk in (ours.pk, theirs.pk, uuid4()):
        assert Client().post(f"{path}tick/", {"done": pk}).status_code == 404
    for typed in ({}, {"done": "x"}, {"done": ours.pk, "undo": ours.pk}):
        assert Client().post(f"{path}tick/", typed).status_code == 400


def test_a_link_ends_with_its_givers_right_to_give_it(contest, cook):
    path = path_of(contest, cook)
    cook.role = Role.HELPER
    cook.save()
    assert Client().get(path).status_code == 404
    cook.role = Role.COOK
    cook.save()
    assert Client().get(path).status_code == 200
    cook.delete()
    assert Client().get(path).status_code == 404


def test_presses_are_counted_by_the_minute(contest, task, cook, monkeypatch):
    monkeypatch.setattr("teamops.teams.linked.PRESSES", 2)
    path = path_of(contest, cook)
    answers = [Client().post(f"{path}tick/", {"done": task.pk}).status_code for _ in range(3)]
    assert answers == [302, 302, 429]


def test_the_prep_sheet_behind_a_link(contest, cook):
    EntryFactory(contest=contest)
    add_steak_steps(contest=contest)
    step, dated = contest.tasks.steps().first(), TaskFactory(contest=contest, title="A to-do")
    path = path_of(contest, cook, kind=Kind.PREP)
    said = Client().get(path).content.decode()
    assert "Trim and tie" in said
    assert "ask your health authority" in said
    assert "A to-do" not in said
    assert Client().post(f"{path}tick/", {"done": dated.pk}).status_code == 404
    Client().post(f"{path}tick/", {"done": step.pk})
    step.refresh_from_db()
    assert step.done_as == "Marta"
    assert "1 of 14 done" in Client().get(path).content.decode()


def test_an_empty_list_says_so(contest, cook):
    assert "Nothing to do yet" in Client().get(path_of(contest, cook)).content.decode()
    said = Client().get(path_of(contest, cook, kind=Kind.PREP)).content.decode()
    assert "No steps yet" in said


@pytest.mark.parametrize("many", [1, 15])
def test_a_linked_list_takes_the_same_queries_however_long(
    contest, cook, many, django_assert_num_queries
):
    for _ in range(many):
        TaskFactory(contest=contest)
    path = path_of(contest, cook)
    Client().get(path)  # notes the day of use
    with django_assert_num_queries(5):
        assert Client().get(path).status_code == 200


# Giving one ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["share_todos", "share_prep"])
def test_a_cook_makes_a_link_that_is_shown_once(client, cook, team, contest, name):
    client.force_login(cook.user)
    url = reverse(f"contests:{name}", args=[team.slug, contest.pk])
    assert client.get(url).status_code == 200
    answer = client.post(url, {"label": "Marta", "may": "tick"}, follow=True)
    said = answer.content.decode()
    assert "/l/" in said
    assert '<svg class="scan"' in said
    address = answer.context["new"]["address"]
    assert Client().get("/" + address.split("/", 3)[3]).status_code == 200
    again = client.get(url).content.decode()
    assert address not in again
    assert "Marta" in again


def test_a_link_without_a_name_is_refused(signed_in, team, contest):
    url = reverse("contests:share_todos", args=[team.slug, contest.pk])
    answer = signed_in.post(url, {"label": "", "may": "everything"})
    assert answer.status_code == 422
    assert set(answer.context["form"].errors) == {"label", "may"}
    assert not ListLink.objects.exists()


def test_a_guest_cannot_be_given_what_is_not_ours(signed_in, team, stranger):
    theirs = ContestFactory(team=stranger.team)
    url = reverse("contests:share_todos", args=[team.slug, theirs.pk])
    assert signed_in.post(url, {"label": "Marta", "may": "tick"}).status_code == 404


def test_a_press_that_names_a_task_twice_changes_it_once(contest, task, cook):
    path = path_of(contest, cook)
    for _ in range(2):
        Client().post(f"{path}tick/", {"done": task.pk})
    assert Task.objects.exclude(done_at=None).count() == 1
    for _ in range(2):
        Client().post(f"{path}tick/", {"undo": task.pk})
    assert not Task.objects.exclude(done_at=None).exists()
