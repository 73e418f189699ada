"""The team's own pages, and which team one comes to."""

import pytest
from django.urls import reverse

from teamops.teams.models import Invitation, Membership, Team
from teamops.teams.roles import Role
from tests.factories.teams import InvitationFactory, MembershipFactory, UserFactory

OWNER_ONLY = [
    ("get", "team:change_team", 0),
    ("post", "team:change_team", 0),
    ("post", "team:invite", 0),
    ("post", "team:revoke_invitation", "invitation"),
    ("post", "team:change_role", "membership"),
    ("post", "team:remove_member", "membership"),
    ("get", "team:delete_team", 0),
    ("post", "team:delete_team", 0),
]
SETTINGS = {
    "name": "Oak and Elm",
    "home_place": "Shinglestrand",
    "time_zone": "America/Denver",
    "units": "si",
    "currency": "cad",
    "paper": "A4",
}


@pytest.fixture
def ids(team, owner) -> dict:
    return {
        0: [],
        "membership": [owner.pk],
        "invitation": [InvitationFactory(team=team, invited_by=owner.user).pk],
    }


# Which team


def test_no_team_leads_to_making_one(client, db):
    client.force_login(UserFactory())
    assert client.get("/")["Location"] == reverse("teams:add_team")


def test_one_team_is_gone_to(signed_in, team):
    assert signed_in.get("/")["Location"] == reverse("insight:show_season", args=[team.slug])
    assert "Oak and Ash" in signed_in.get("/?list=1").content.decode()


@pytest.mark.parametrize("count", [2, 20])
def test_several_are_listed_in_two_queries(client, db, django_assert_num_queries, count):
    user = UserFactory()
    for _ in range(count):
        MembershipFactory(user=user)
    client.force_login(user)
    with django_assert_num_queries(3):  # session, user, teams
        page = client.get("/").content.decode()
    assert page.count('class="row-link"') == count


def test_another_team_can_be_made(signed_in, owner):
    assert "Another team" in signed_in.get(reverse("teams:add_team")).content.decode()
    signed_in.post(reverse("teams:add_team"), {"name": "Elm"})
    assert Team.objects.of(owner.user).count() == 2


# Who may


@pytest.mark.parametrize(("method", "name", "what"), OWNER_ONLY)
@pytest.mark.parametrize("role", [Role.READER, Role.HELPER, Role.COOK])
def test_only_owners_manage(client, team, ids, method, name, what, role):
    client.force_login(MembershipFactory(team=team, role=role).user)
    answer = getattr(client, method)(reverse(name, args=[team.slug, *ids[what]]))
    assert answer.status_code == 403
    assert f"Your role in Oak and Ash is {role.label.lower()}." in answer.content.decode()


@pytest.mark.parametrize(
    ("method", "name", "what"),
    [*OWNER_ONLY, ("get", "team:show_team", 0), ("post", "team:leave_team", 0)],
)
def test_a_stranger_finds_nothing(client, team, ids, stranger, method, name, what):
    client.force_login(stranger.user)
    answer = getattr(client, method)(reverse(name, args=[team.slug, *ids[what]]))
    assert answer.status_code == 404


@pytest.mark.parametrize("name", ["change_role", "remove_member"])
def test_another_teams_member_is_not_found(signed_in, team, stranger, name):
    url = reverse(f"team:{name}", args=[team.slug, stranger.pk])
    assert signed_in.post(url, {"role": "reader"}).status_code == 404
    stranger.refresh_from_db()
    assert stranger.role == Role.OWNER


def test_another_teams_invitation_is_not_found(signed_in, team):
    theirs = InvitationFactory()
    url = reverse("team:revoke_invitation", args=[team.slug, theirs.pk])
    assert signed_in.post(url).status_code == 404
    assert Invitation.objects.filter(pk=theirs.pk).exists()


# The page


@pytest.mark.parametrize("role", list(Role))
def test_everybody_sees_who_is_in_and_owners_may_ask_more_in(client, team, owner, role):
    member = MembershipFactory(team=team, role=role, user__name="Bo")
    client.force_login(member.user)
    page = client.get(reverse("team:show_team", args=[team.slug])).content.decode()
    assert str(owner.user) in page
    assert "(you)" in page
    assert ("Ask someone in" in page) == (role == Role.OWNER)
    assert (owner.user.email in page) == (role == Role.OWNER)
    assert reverse("rules:show_rulebooks", args=[team.slug]) in page
    assert reverse("inventory:show_items", args=[team.slug]) in page


@pytest.mark.parametrize("length", [1, 30])
def test_the_page_takes_as_many_queries_however_many_people(
    signed_in, team, owner, length, django_assert_num_queries
):
    MembershipFactory.create_batch(length, team=team, role=Role.COOK)
    InvitationFactory.create_batch(length, team=team, invited_by=owner.user)
    with django_assert_num_queries(5):  # session, user, place, people, invitations
        signed_in.get(reverse("team:show_team", args=[team.slug]))


def test_a_new_link_is_shown_once(signed_in, team):
    url = reverse("team:invite", args=[team.slug])
    answer = signed_in.post(url, {"note": "Sam", "role": "helper"}, follow=True)
    assert "http://testserver/join/" in answer.content.decode()
    page = signed_in.get(reverse("team:show_team", args=[team.slug])).content.decode()
    assert "http://testserver/join/" not in page
    assert "Sam" in page


@pytest.mark.parametrize(
    ("form", "field"),
    [
        ({"note": "x" * 10_000, "role": "cook"}, "note"),
        ({"note": "a\x00b", "role": "cook"}, "note"),
        ({"note": "", "role": "emperor"}, "role"),
        ({"note": ""}, "role"),
    ],
    ids=["long", "NUL", "unknown role", "no role"],
)
def test_a_bad_invitation_is_refused_beside_the_field(signed_in, team, form, field):
    answer = signed_in.post(reverse("team:invite", args=[team.slug]), form)
    assert answer.status_code == 422
    assert f'id="id_{field}_error"' in answer.content.decode()
    assert not Invitation.objects.exists()


def test_withdrawing(signed_in, team, ids):
    url = reverse("team:revoke_invitation", args=[team.slug, *ids["invitation"]])
    assert signed_in.post(url).status_code == 302
    assert not Invitation.objects.exists()
    assert signed_in.post(url).status_code == 404  # the press sent twice finds it gone


# People


def test_a_role_is_changed_and_a_refusal_is_said(signed_in, team, owner, cook):
    url = reverse("team:change_role", args=[team.slug, cook.pk])
    assert "Role changed." in signed_in.post(url, {"role": "reader"}, follow=True).content.decode()
    cook.refresh_from_db()
    assert cook.role == Role.READER
    url = reverse("team:change_role", args=[team.slug, owner.pk])
    page = signed_in.post(url, {"role": "cook"}, follow=True).content.decode()
    assert "is the last owner of Oak and Ash" in page
    page = signed_in.post(url, {"role": "emperor"}, follow=True).content.decode()
    assert "there is no such role" in page
    owner.refresh_from_db()
    assert owner.role == Role.OWNER


def test_taking_out(signed_in, team, owner, cook):
    url = reverse("team:remove_member", args=[team.slug, cook.pk])
    assert "no longer in the team" in signed_in.post(url, follow=True).content.decode()
    assert not Membership.objects.filter(pk=cook.pk).exists()
    url = reverse("team:remove_member", args=[team.slug, owner.pk])
    assert "last owner" in signed_in.post(url, follow=True).content.decode()


def test_an_owner_who_takes_themselves_out_is_led_away(signed_in, team, owner):
    MembershipFactory(team=team, role=Role.OWNER)
    url = reverse("team:remove_member", args=[team.slug, owner.pk])
    assert signed_in.post(url)["Location"] == reverse("teams:choose_team")


def test_leaving(client, team, owner, reader):
    client.force_login(reader.user)
    url = reverse("team:leave_team", args=[team.slug])
    assert client.post(url)["Location"] == reverse("teams:choose_team")
    assert client.post(url).status_code == 404
    client.force_login(owner.user)
    assert "last owner" in client.post(url, follow=True).content.decode()
    assert Membership.objects.filter(pk=owner.pk).exists()


# Settings and the end


def test_settings_are_saved_and_said_twice_is_once(signed_in, team):
    for _ in range(2):
        answer = signed_in.post(reverse("team:change_team", args=[team.slug]), SETTINGS)
        assert answer["Location"] == reverse("team:show_team", args=[team.slug])
    team.refresh_from_db()
    assert (team.name, team.time_zone, team.currency) == ("Oak and Elm", "America/Denver", "CAD")
    page = signed_in.get(reverse("team:show_team", args=[team.slug])).content.decode()
    assert "kilograms, millimetres, °C" in page


def test_a_city_is_home_clock_enough(signed_in, team):
    signed_in.post(
        reverse("team:change_team", args=[team.slug]), SETTINGS | {"time_zone": "new york"}
    )
    team.refresh_from_db()
    assert team.time_zone == "America/New_York"


@pytest.mark.parametrize(
    ("field", "value", "says"),
    [
        ("time_zone", "Mars/Olympus", "is not a time zone"),
        ("time_zone", "../../etc/passwd", "is not a time zone"),
        ("currency", "EURO", "at most 3 characters"),
        ("currency", "1$!", "Three capital letters"),
        ("units", "stone", "not one of the available choices"),
        ("name", "", "required"),
        ("home_place", "a\x00b", "cannot be stored"),
        ("home_place", "x" * 10_000, "at most 80 characters"),
    ],
    ids=lambda value: str(value)[:20].replace("\x00", "NUL"),
)
def test_bad_settings_are_refused_and_all_that_was_typed_is_kept(
    signed_in, team, field, value, says
):
    typed = SETTINGS | {field: value}
    answer = signed_in.post(reverse("team:change_team", args=[team.slug]), typed)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert says in page
    assert f'id="id_{field}_error"' in page
    assert page.count("Shinglestrand") == (0 if field == "home_place" else 1)
    assert "Oak and Ash</b>" in page  # the bar keeps the name that is stored
    team.refresh_from_db()
    assert (team.name, team.currency) == ("Oak and Ash", "USD")


def test_the_team_goes_when_its_name_is_typed(signed_in, team):
    url = reverse("team:delete_team", args=[team.slug])
    assert signed_in.get(url).status_code == 200
    answer = signed_in.post(url, {"typed": "oak"})
    assert answer.status_code == 422
    assert "That is not the team’s name" in answer.content.decode()
    assert signed_in.post(url, {"typed": "Oak and Ash"})["Location"] == reverse("teams:choose_team")
    assert not Team.objects.filter(pk=team.pk).exists()
    assert signed_in.post(url, {"typed": "Oak and Ash"}).status_code == 404
