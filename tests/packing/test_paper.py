import io
from datetime import date
from decimal import Decimal

import pytest
from django.urls import reverse
from pypdf import PdfReader

from teamops.inventory.models import Container
from tests.factories.contests import ContestFactory
from tests.factories.packing import PackingLineFactory, PackingListFactory


def words(response) -> str:
    pages = PdfReader(io.BytesIO(response.content)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


@pytest.fixture
def ours(team):
    packing_list = PackingListFactory(
        trip__team=team, title="Gravel Bar", cooks=2, people=3, cook_hours=Decimal("4.50"),
        conditions=["charcoal"],
    )  # fmt: skip
    PackingLineFactory(packing_list=packing_list, name="Tongs", amount=4, mass_kg=Decimal("0.5"))
    PackingLineFactory(
        packing_list=packing_list, name="Steak", amount=60, mass_kg=Decimal("0.5"), position=2,
        container="Cold box A", container_kind=Container.Kind.RAW, consumable=True,
        note="from Sam",
    )  # fmt: skip
    return packing_list


def test_the_sheet_says_it_all(signed_in, team, ours):
    """2 kg of tongs are 4.4 lb, 30 kg of steak 66.1 lb: 70.5 lb in all, a lift for two."""
    page = signed_in.get(reverse("packing:print_list", args=[team.slug, ours.pk]))
    assert page["Content-Type"] == "application/pdf"
    said = words(page)
    for part in (
        "Gravel Bar", "Packing list, 0 of 2 packed", "Cold box A: raw food only · 66.1 lb",
        "4.4 lb", "70.5 lb", "lift with two or split: Cold box A", "Raw meat rides alone",
        "Hours of cooking 4.5", "cooking on charcoal", "from Sam", "page 1 of 1",
        reverse("packing:show_list", args=[team.slug, ours.pk]),
    ):  # fmt: skip
        assert part in said


def test_the_sheet_names_every_contest_of_the_trip(signed_in, team, ours):
    """A double and a practice; what was called off is not driven to."""
    saturday, sunday = date(2099, 6, 13), date(2099, 6, 14)
    for name, day, more in (
        ("Second Bend", sunday, {"place": ""}),
        ("Gravel Bar", saturday, {"place": "Shinglestrand"}),
        ("Wet Field", saturday, {"state": "cancelled"}),
    ):
        ContestFactory(team=team, trip=ours.trip, name=name, held_on=day, **more)
    ContestFactory(team=team, name="Another Trip")
    said = words(signed_in.get(reverse("packing:print_list", args=[team.slug, ours.pk])))
    assert "Gravel Bar, Sat 13 Jun 2099, Shinglestrand Second Bend, Sun 14 Jun 2099" in said
    assert "Wet Field" not in said
    assert "Another Trip" not in said


@pytest.mark.parametrize(("paper", "size"), [("letter", (612, 792)), ("A4", (595, 842))])
def test_the_teams_own_paper(signed_in, team, ours, paper, size):
    team.paper = paper
    team.save()
    page = signed_in.get(reverse("packing:print_list", args=[team.slug, ours.pk]))
    box = PdfReader(io.BytesIO(page.content)).pages[0].mediabox
    assert (round(box.width), round(box.height)) == size


@pytest.mark.parametrize("length", [1, 60])
def test_the_sheet_takes_the_same_queries(signed_in, team, length, django_assert_num_queries):
    packing_list = PackingListFactory(trip__team=team, lines=length)
    ContestFactory.create_batch(1 + length // 30, team=team, trip=packing_list.trip)
    PackingLineFactory(packing_list=packing_list, packed=True, have=1)
    url = reverse("packing:print_list", args=[team.slug, packing_list.pk])
    with django_assert_num_queries(
        9
    ):  # session, person, door, list, its contests, and the board's four
        page = signed_in.get(url)
    assert f"page 1 of {1 if length == 1 else 2}" in words(page)


def test_an_empty_list_prints(signed_in, team):
    packing_list = PackingListFactory(trip__team=team)
    url = reverse("packing:print_list", args=[team.slug, packing_list.pk])
    assert "Nothing is on this list yet." in words(signed_in.get(url))
