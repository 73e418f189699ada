from decimal import Decimal
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from teamops.inventory.models import Container, Item, Kit, KitLine
from teamops.inventory.queries import containers_with_counts, item_groups
from teamops.inventory.weights import kg_to_weight, weight_to_kg
from tests.factories.inventory import ContainerFactory, ItemFactory, KitFactory, KitLineFactory
from tests.factories.packing import PackingLineFactory

GOOD = {
    "name": "Tongs", "group": "cooking gear", "unit": "each", "weight": "0.6", "quantity": "2",
    "rule": "per_cook", "condition": "always", "note": "",
}  # fmt: skip


def at(team, name, *args) -> str:
    return reverse(f"inventory:{name}", args=[team.slug, *args])


def text(response) -> str:
    return response.content.decode()


@pytest.mark.parametrize(("units", "places"), [("us", 3), ("si", 6)])
@given(data=st.data())
def test_a_weight_reads_back_exactly(units, places, data):
    typed = data.draw(st.decimals(0, 99_999, places=places))
    assert kg_to_weight(weight_to_kg(typed, units), units) == typed


def test_empty_page_offers_the_starters(signed_in, team):
    page = text(signed_in.get(at(team, "show_items")))
    assert "Use the starter list" in page
    for _ in range(2):
        assert signed_in.post(at(team, "add_starters")).status_code == 302
    page = text(signed_in.get(at(team, "show_items")))
    assert "Tongs, long" in page
    assert "2 for each cook" in page


def test_an_item_is_added_with_its_rule(signed_in, team):
    assert signed_in.post(at(team, "add_item"), GOOD).status_code == 302
    item = Item.objects.get()
    line = item.kit_lines.get()
    assert (item.mass_kg, line.quantity, line.rule) == (Decimal("0.272155"), 2, "per_cook")
    assert line.kit.name == "Our kit"
    form = signed_in.get(at(team, "change_item", item.pk)).context["form"]
    assert form["weight"].value() == Decimal("0.6")


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"name": ""}, "name"), ({"name": "a\x00"}, "name"), ({"name": "n" * 81}, "name"),
        ({"weight": "-1"}, "weight"), ({"weight": "NaN"}, "weight"), ({"weight": "x"}, "weight"),
        ({"weight": "0.0001"}, "weight"), ({"weight": "1e9"}, "weight"),
        ({"note": "n" * 10_000}, "note"), ({"container": str(uuid4())}, "container"),
        ({"quantity": "-2"}, "quantity"), ({"quantity": "0"}, "quantity"),
        ({"quantity": "two"}, "quantity"), ({"rule": "per_moon"}, "rule"),
        ({"condition": "snow"}, "condition"),
    ],
)  # fmt: skip
def test_bad_input_is_said_and_kept(signed_in, team, typed, field):
    answer = signed_in.post(at(team, "add_item"), GOOD | typed)
    assert answer.status_code == 422
    errors = answer.context["form"].errors | answer.context["line_form"].errors
    assert list(errors) == [field]
    assert answer.context["form"]["unit"].value() == "each"
    assert not Item.objects.exists()


def test_odd_names_are_names(signed_in, team):
    name = "🔪 <script> סכין سكين"
    signed_in.post(at(team, "add_item"), GOOD | {"name": name})
    assert Item.objects.get().name == name
    assert "&lt;script&gt;" in text(signed_in.get(at(team, "show_items")))


def test_the_same_name_twice_is_refused(signed_in, team):
    signed_in.post(at(team, "add_item"), GOOD)
    answer = signed_in.post(at(team, "add_item"), GOOD)
    assert "You have an item of this name already." in text(answer)
    assert Item.objects.count() == KitLine.objects.count() == 1


def test_an_untouched_weight_stays_when_the_team_turns_to_pounds(signed_in, team):
    item = ItemFactory(team=team, mass_kg=Decimal("0.500001"))
    form = signed_in.get(at(team, "change_item", item.pk)).context["form"]
    typed = GOOD | {"weight": str(form["weight"].value()), "seen": item.version}
    signed_in.post(at(team, "change_item", item.pk), typed)
    item.refresh_from_db()
    assert (item.name, item.mass_kg) == ("Tongs", Decimal("0.500001"))


def test_two_people_change_an_item(signed_in, team):
    line = KitLineFactory(kit__team=team)
    item = line.item
    url = at(team, "change_item", item.pk)
    signed_in.post(url, GOOD | {"seen": 1, "kit": line.kit_id})
    late = signed_in.post(url, GOOD | {"seen": 1, "unit": "pair", "kit": ""})
    assert late.status_code == 409
    assert "saved this while you typed" in text(late)
    assert late.context["form"]["unit"].value() == "pair"
    assert item.kit_lines.count() == 1  # nothing of the late one was kept
    signed_in.post(url, GOOD | {"seen": late.context["seen"], "unit": "pair", "kit": ""})
    item.refresh_from_db()
    assert (item.unit, item.kit_lines.count()) == ("pair", 0)


def test_an_item_in_two_kits(signed_in, team):
    line = KitLineFactory(kit__team=team, kit__name="A")
    other = KitFactory(team=team, name="B")
    url = at(team, "change_item", line.item_id)
    assert "Put it in one more kit" in text(signed_in.get(url))
    typed = {"quantity": "3", "rule": "per_day", "condition": "rain", "kit": other.pk}
    assert signed_in.post(at(team, "add_kit_line", line.item_id), typed).status_code == 302
    assert "B: 3 for each day, if rain expected" in text(signed_in.get(url))
    assert signed_in.get(at(team, "add_kit_line", line.item_id)).context["kits"] == []
    added = KitLine.objects.get(kit=other)
    change = at(team, "change_kit_line", added.pk)
    assert signed_in.post(change, typed | {"quantity": "-3"}).status_code == 422
    assert signed_in.post(change, typed | {"quantity": "4"}).status_code == 302
    assert signed_in.post(change, typed | {"kit": KitFactory().pk}).status_code == 422
    signed_in.post(at(team, "delete_kit_line", added.pk))
    assert not KitLine.objects.filter(kit=other).exists()


def test_deleting_says_what_stays(signed_in, team):
    item = KitLineFactory(kit__team=team).item
    line = PackingLineFactory(packing_list__trip__team=team, item=item, own=False)
    url = at(team, "delete_item", item.pk)
    page = text(signed_in.get(url))
    assert "It stands on 1 packing list." in page
    signed_in.post(url)
    line.refresh_from_db()
    assert line.item is None
    assert not Item.objects.exists()


def test_containers(signed_in, team):
    typed = {"name": "Cold box", "kind": "raw", "whole": "on", "order": "3"}
    signed_in.post(at(team, "add_container"), typed)
    box = Container.objects.get()
    item = ItemFactory(team=team, container=box)
    assert "raw food only" in text(signed_in.get(at(team, "show_containers")))
    again = signed_in.post(at(team, "add_container"), typed)
    assert "You have a container of this name already." in text(again)
    change = at(team, "change_container", box.pk)
    for bad in ({"order": "-1"}, {"order": "99999"}, {"kind": "pets"}, {"name": "\x00"}):
        assert signed_in.post(change, typed | bad).status_code == 422
    assert signed_in.post(change, typed | {"name": "Cold box A"}).status_code == 302
    signed_in.post(at(team, "delete_container", box.pk))
    item.refresh_from_db()
    assert item.container is None


def test_containers_come_in_their_order(team):
    for name, order in (("C", 1), ("A", 2), ("B", 1)):
        ContainerFactory(team=team, name=name, order=order)
    assert [box.name for box, _ in containers_with_counts(team)] == ["B", "C", "A"]


def test_kits(signed_in, team):
    signed_in.post(at(team, "add_kit"), {"name": "Dessert"})
    kit = Kit.objects.get()
    assert signed_in.post(at(team, "add_kit"), {"name": "Dessert"}).status_code == 422
    item = KitLineFactory(kit=kit).item
    assert "1 item" in text(signed_in.get(at(team, "show_kits")))
    signed_in.post(at(team, "change_kit", kit.pk), {"name": "Sweet"})
    signed_in.post(at(team, "delete_kit", kit.pk))
    assert not Kit.objects.exists()
    assert Item.objects.filter(pk=item.pk).exists()


PAGES = [
    ("show_items", None, "get", "reader"), ("add_starters", None, "post", "cook"),
    ("add_item", None, "post", "cook"), ("change_item", "item", "post", "cook"),
    ("delete_item", "item", "post", "cook"), ("add_kit_line", "item", "post", "cook"),
    ("show_kits", None, "get", "reader"), ("add_kit", None, "post", "cook"),
    ("change_kit", "kit", "post", "cook"), ("delete_kit", "kit", "post", "cook"),
    ("change_kit_line", "line", "post", "cook"), ("delete_kit_line", "line", "post", "cook"),
    ("show_containers", None, "get", "reader"), ("add_container", None, "post", "cook"),
    ("change_container", "container", "post", "cook"),
    ("delete_container", "container", "post", "cook"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "what", "method", "least"), PAGES)
def test_strangers_find_nothing_and_a_lesser_role_is_told_so(
    client, request, team, stranger, helper, name, what, method, least
):
    line = KitLineFactory(kit__team=team)
    keys = {
        "item": [line.item_id], "kit": [line.kit_id], "line": [line.pk], None: [],
        "container": [ContainerFactory(team=team).pk],
    }  # fmt: skip
    args = keys[what]
    client.force_login(stranger.user)
    assert getattr(client, method)(at(team, name, *args)).status_code == 404
    if args:
        assert getattr(client, method)(at(stranger.team, name, *args)).status_code == 404
    if least == "cook":
        client.force_login(helper.user)
        assert getattr(client, method)(at(team, name, *args)).status_code == 403
    client.force_login(request.getfixturevalue(least).user)
    assert getattr(client, method)(at(team, name, *args)).status_code not in (403, 404)


def test_a_foreign_container_is_no_choice(signed_in, team):
    typed = GOOD | {"container": ContainerFactory().pk}
    assert signed_in.post(at(team, "add_item"), typed).status_code == 422


@pytest.mark.parametrize("many", [1, 40])
def test_items_take_three_queries_however_many(team, many, django_assert_num_queries):
    kit = KitFactory(team=team)
    for _ in range(many):
        KitLineFactory(kit=kit)
    with django_assert_num_queries(3):
        (group,) = item_groups(team)
    assert len(group.rows) == many
    assert group.rows[0].bring == ("1 for the trip",)


@pytest.mark.parametrize(
    "row",
    [
        lambda item, line: ItemFactory(team=item.team, name=item.name),
        lambda item, line: ItemFactory(mass_kg=-1),
        lambda item, line: KitLineFactory(kit=line.kit, item=item),
        lambda item, line: KitLineFactory(quantity=0),
        lambda item, line: KitFactory(team=item.team, name=line.kit.name),
        lambda item, line: [ContainerFactory(team=item.team, name="Tote") for _ in "ab"],
    ],
)
def test_constraints(db, row):
    line = KitLineFactory()
    with pytest.raises(IntegrityError), transaction.atomic():
        row(line.item, line)
