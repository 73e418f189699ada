"""A team begins with a name, changes, and ends when its name is typed out."""

from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError
from django.db import connection
from django.urls import reverse
from django.utils import timezone

from teamops.contests.models import Contest
from teamops.teams import actions
from teamops.teams.models import Membership, Team
from teamops.teams.slugs import TAKEN, free_slug, slug_of
from tests.factories.contests import EntryFactory, TaskFactory
from tests.factories.teams import TeamFactory, UserFactory

LONG = "x" * 10_000
ODD_NAMES = {
    "emoji": "🔥🥩 Crew 🔥",
    "right to left": "فريق الشواء",
    "Cyrillic": "Дым и соль",
    "quotes and tags": '<b>Bo\'s</b> & "Co"',
    "combining": "Zoe\u0301 \u200dand co",
}


@pytest.mark.parametrize(
    ("name", "slug"),
    [
        ("Oak & Ash", "oak-ash"),
        ("Crème Brûlée", "creme-brulee"),
        ("  Two   Spaces  ", "two-spaces"),
        ("Дым и соль", "cook-team"),
        ("فريق الشواء", "cook-team"),
        ("🔥🥩", "cook-team"),
        ("🔥 Crew", "crew"),
        ("new", "new-cooks"),
        ("Join", "join-cooks"),
        ("---", "cook-team"),
        ("a" * 80, "a" * 50),
    ],
)
def test_slug_reads_like_the_name(name, slug):
    assert slug_of(name) == slug


def test_taken_words_are_slugs_themselves():
    assert all(slug_of(word) == f"{word}-cooks" for word in TAKEN)


def test_free_slug_counts_up_from_two():
    assert free_slug("oak", set()) == "oak"
    assert free_slug("oak", {"oak", "oak-3"}) == "oak-2"
    assert free_slug("oak", {"oak", "oak-2", "oak-3"}) == "oak-4"


@pytest.mark.django_db
def test_a_team_needs_only_a_name():
    user = UserFactory()
    team = actions.create_team(name="Oak & Ash", by=user)
    place = Membership.objects.get(team=team)
    assert (team.slug, place.user, place.role) == ("oak-ash", user, "owner")
    assert (team.units, team.currency, team.paper) == ("us", "USD", "letter")


@pytest.mark.django_db
def test_two_teams_of_one_name_have_two_addresses():
    slugs = [actions.create_team(name="Oak Ash", by=UserFactory()).slug for _ in range(3)]
    assert slugs == ["oak-ash", "oak-ash-2", "oak-ash-3"]


@pytest.mark.django_db
def test_a_slug_taken_meanwhile_is_tried_again(monkeypatch):
    """Another team takes the word between our look and our write."""
    TeamFactory(slug="oak-ash")
    looks = iter(["oak-ash", "oak-ash-2"])
    monkeypatch.setattr("teamops.teams.actions.teams.free_slug", lambda word, used: next(looks))
    assert actions.create_team(name="Oak Ash", by=UserFactory()).slug == "oak-ash-2"


@pytest.mark.django_db
def test_the_same_press_twice_makes_one_team():
    user = UserFactory()
    first = actions.create_team(name="Oak", by=user)
    assert actions.create_team(name="Oak", by=user) == first
    Team.objects.update(created_at=timezone.now() - timedelta(hours=1))
    assert actions.create_team(name="Oak", by=user) != first


@pytest.mark.parametrize("name", ODD_NAMES.values(), ids=ODD_NAMES)
def test_odd_names_are_kept_as_typed_and_shown_safely(client, db, name):
    user = UserFactory()
    client.force_login(user)
    client.post(reverse("teams:add_team"), {"name": name})
    team = Team.objects.get(memberships__user=user)
    assert team.name == name.strip()
    page = client.get(reverse("team:show_team", args=[team.slug])).content.decode()
    assert "<b>Bo" not in page
    assert reverse("team:show_team", args=[team.slug]) in page


@pytest.mark.parametrize(
    ("name", "says"),
    [
        (LONG, "at most 80 characters"),
        ("Oak\x00Ash", "a character that cannot be stored"),
        ("", "required"),
        ("   ", "required"),
    ],
    ids=["long", "NUL", "empty", "spaces"],
)
def test_a_name_that_cannot_be_stored_is_refused_beside_the_field(client, db, name, says):
    client.force_login(UserFactory())
    answer = client.post(reverse("teams:add_team"), {"name": name})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert says in page
    assert 'id="id_name_error"' in page
    assert 'aria-describedby="id_name_helptext id_name_error"' in page
    assert not Team.objects.exists()


def test_changing_the_name_leaves_addresses_alone(team, owner):
    actions.change_team(team=team, settings={"name": "Elm"}, by=owner.user)
    team.refresh_from_db()
    assert (team.name, team.slug) == ("Elm", "oak-and-ash")


@pytest.mark.parametrize(
    ("field", "value"),
    [("time_zone", "Mars/Olympus"), ("currency", "dollars"), ("units", "stone"), ("name", LONG)],
    ids=["zone", "currency", "units", "name"],
)
def test_settings_that_make_no_sense_are_refused(team, owner, field, value):
    with pytest.raises(ValidationError) as refusal:
        actions.change_team(team=team, settings={field: value}, by=owner.user)
    assert field in refusal.value.message_dict


def test_a_team_goes_with_everything_in_it_once_its_name_is_typed(team, owner):
    entry = EntryFactory(contest__team=team)
    TaskFactory(contest=entry.contest)
    with pytest.raises(ValidationError):
        actions.delete_team(team=team, typed="Oak and Elm", by=owner.user)
    actions.delete_team(team=team, typed=" Oak and Ash ", by=owner.user)
    assert not Team.objects.filter(slug="oak-and-ash").exists()
    assert not Contest.objects.filter(pk=entry.contest.pk).exists()
    connection.check_constraints()
