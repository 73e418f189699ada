"""A team's stamp: another one after each press, so that what was kept of its pages is old."""

import pytest
from django.core.cache import cache
from django.urls import reverse

from teamops.teams.actions import change_name
from teamops.teams.actions.list_links import make_link
from teamops.teams.models import ListLink, Team
from tests.factories.contests import TaskFactory


@pytest.fixture
def stamp(team):
    """The stamp as it is now."""
    return lambda: Team.objects.get(pk=team.pk).stamp


@pytest.fixture
def kept(settings):
    """Pages are kept, as where people use them."""
    settings.KEEPS_PAGES = True
    cache.clear()
    yield
    cache.clear()


def test_a_look_leaves_the_stamp(signed_in, team, stamp):
    before = stamp()
    page = reverse("insight:show_season", args=[team.slug])
    signed_in.get(page)
    signed_in.head(page)
    assert stamp() == before


def test_a_press_changes_it_even_where_it_is_refused(signed_in, team, stamp):
    before = stamp()
    answer = signed_in.post(reverse("contests:add_contest", args=[team.slug]), {"name": ""})
    assert answer.status_code == 422
    assert stamp() != before


def test_a_press_that_breaks_changes_it(signed_in, team, stamp, monkeypatch):
    """A part of it may have been saved."""
    before = stamp()
    monkeypatch.setattr("teamops.contests.views.contest.ContestForm", lambda *a, **k: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        signed_in.post(reverse("contests:add_contest", args=[team.slug]))
    assert stamp() != before


def test_a_press_of_a_stranger_changes_nothing(client, stranger, team, stamp):
    before = stamp()
    client.force_login(stranger.user)
    client.post(reverse("contests:add_contest", args=[team.slug]), {"name": "Slag Heap Fair"})
    assert stamp() == before


def test_a_tick_through_a_link_changes_it(client, owner, stamp):
    task = TaskFactory(contest__team=owner.team)
    _, address = make_link(
        team=owner.team,
        kind=ListLink.Kind.CHECKLIST,
        object_id=task.contest_id,
        label="Sam",
        may=ListLink.May.TICK,
        by=owner.user,
    )
    before = stamp()
    assert client.get(address).status_code == 200
    assert stamp() == before
    client.post(f"{address}tick/", {"done": str(task.pk)})
    assert stamp() != before


def test_a_members_new_name_changes_it(member, stamp, django_capture_on_commit_callbacks):
    before = stamp()
    with django_capture_on_commit_callbacks(execute=True):
        change_name(user=member.user, name="Wren Tallow")
    assert stamp() != before


def test_the_season_is_read_anew_only_after_a_press(signed_in, member, team, kept, monkeypatch):
    task = TaskFactory(contest__team=team, title="Fill the gas")
    page = reverse("insight:show_season", args=[team.slug])
    assert "Fill the gas" in signed_in.get(page).content.decode()
    with monkeypatch.context() as patched:
        patched.setattr("teamops.insight.queries.season_page", lambda *a: pytest.fail("anew"))
        assert "Fill the gas" in signed_in.get(page).content.decode()
    done = reverse("contests:set_task_done", args=[team.slug, task.pk])
    signed_in.post(done, {"done": "yes", "next": "season"})
    assert "Fill the gas" not in signed_in.get(page).content.decode()


def test_what_is_kept_is_the_roles_own(client, owner, reader, team, kept):
    TaskFactory(contest__team=team, title="Fill the gas")
    page = reverse("insight:show_season", args=[team.slug])
    ticks = "Done<span"
    client.force_login(owner.user)
    assert ticks in client.get(page).content.decode()
    client.force_login(reader.user)
    assert ticks not in client.get(page).content.decode()


def test_another_teams_home_is_its_own(client, owner, stranger, team, kept):
    TaskFactory(contest__team=team, title="Fill the gas")
    client.force_login(owner.user)
    client.get(reverse("insight:show_season", args=[team.slug]))
    client.force_login(stranger.user)
    answer = client.get(reverse("insight:show_season", args=[stranger.team.slug]))
    assert "Fill the gas" not in answer.content.decode()
