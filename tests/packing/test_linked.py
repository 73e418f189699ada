"""A packing list behind a link."""

from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from teamops.teams.actions.list_links import make_link, revoke_link
from teamops.teams.models import ListLink
from tests.factories.contests import TripFactory
from tests.factories.packing import PackingLineFactory, PackingListFactory

May = ListLink.May


@pytest.fixture
def packing_list(team):
    return PackingListFactory(trip=TripFactory(team=team), lines=3)


def path_of(packing_list, by, may=May.TICK) -> str:
    _, address = make_link(
        team=packing_list.trip.team, kind=ListLink.Kind.PACKING, object_id=packing_list.pk,
        label="Marta", may=may, by=by.user,
    )  # fmt: skip
    return "/" + address.split("/", 3)[3]


def test_a_partner_packs_a_line_in_the_givers_name(packing_list, cook):
    line = packing_list.lines.first()
    path, guest = path_of(packing_list, cook), Client(enforce_csrf_checks=True)
    said = guest.get(path).content.decode()
    assert line.name in said
    assert "/t/" not in said
    assert f"under <bdi>{cook.user.get_short_name()}</bdi>’s name" in said
    for _ in range(2):
        answer = guest.post(f"{path}tick/", {"stage": "pack", "pack": line.pk})
        assert (answer.status_code, answer.url) == (302, f"../?stage=pack#line-{line.pk}")
    line.refresh_from_db()
    assert line.packed_by == cook.user
    assert "1 of 3" in guest.get(path).content.decode()
    guest.post(f"{path}tick/", {"stage": "pack", "unpack": line.pk})
    line.refresh_from_db()
    assert line.packed_at is None


def test_a_link_that_shows_does_not_pack(packing_list, cook):
    line = packing_list.lines.first()
    path = path_of(packing_list, cook, may=May.SEE)
    assert "<button" not in Client().get(path).content.decode()
    assert Client().post(f"{path}tick/", {"stage": "pack", "pack": line.pk}).status_code == 403


def test_another_lists_line_and_nonsense_are_refused(packing_list, cook):
    path, theirs = path_of(packing_list, cook), PackingLineFactory()
    for pk in (theirs.pk, uuid4()):
        answer = Client().post(f"{path}tick/", {"stage": "pack", "pack": pk})
        assert answer.status_code == 404
    assert Client().post(f"{path}tick/", {"stage": "pack"}).status_code == 400
    theirs.refresh_from_db()
    assert theirs.packed_at is None


def test_taken_back_or_deleted_nobody_finds_it(packing_list, cook):
    path = path_of(packing_list, cook)
    assert Client().get(path).status_code == 200
    assert Client().get(path.replace("/packing/", "/todos/")).status_code == 404
    revoke_link(link=ListLink.objects.get(), by=cook.user)
    assert Client().get(path).status_code == 404
    other = path_of(packing_list, cook)
    packing_list.delete()
    assert Client().get(other).status_code == 404


@pytest.mark.parametrize("many", [1, 30])
def test_a_linked_packing_list_takes_the_same_queries(team, cook, many, django_assert_num_queries):
    packing_list = PackingListFactory(trip=TripFactory(team=team), lines=many)
    path = path_of(packing_list, cook)
    Client().get(path)
    with django_assert_num_queries(5):
        assert Client().get(path).status_code == 200


def test_a_cook_gives_a_link_from_the_lists_page(client, cook, team, packing_list):
    client.force_login(cook.user)
    share = reverse("packing:share_list", args=[team.slug, packing_list.pk])
    page = client.get(reverse("packing:show_list", args=[team.slug, packing_list.pk]))
    assert share in page.content.decode()
    answer = client.post(share, {"label": "Marta", "may": "tick"}, follow=True)
    assert "/l/packing/" in answer.context["new"]["address"]
