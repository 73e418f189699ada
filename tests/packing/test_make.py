from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from teamops.calc.demand import Condition
from teamops.packing import actions
from teamops.packing.models import PackingLine, PackingList
from teamops.packing.stages import Stage
from teamops.teams.versions import Conflict
from tests.factories.inventory import ItemFactory, KitFactory, KitLineFactory
from tests.factories.teams import UserFactory
from tests.packing.conftest import numbers


@pytest.fixture
def made(trip, kit, owner) -> PackingList:
    return actions.make_list(
        packing_list=numbers(trip), kits=None, with_starters=False, by=owner.user
    )


def amounts(packing_list: PackingList) -> dict[str, Decimal]:
    return dict(packing_list.lines.values_list("name", "amount"))


def remake(packing_list: PackingList, by, **numbers: object) -> list[str]:
    fresh = PackingList.objects.get(pk=packing_list.pk)
    for name, value in numbers.items():
        setattr(fresh, name, value)
    return actions.remake_list(packing_list=fresh, kits=None, seen=fresh.version, by=by)


def tick(packing_list: PackingList, name: str, by, stage: Stage = Stage.PACK) -> PackingLine:
    line = packing_list.lines.get(name=name)
    actions.set_stage(line=line, stage=stage, on=True, by=by)
    line.refresh_from_db()
    return line


def test_a_list_worked_out_by_hand(made):
    """2 a cook x 2, 2.5 lb an hour x 4, 2 rolls a day x 2; the steaks are issued."""
    assert amounts(made) == {"Tongs": 4, "Charcoal": 10, "Towels": 4}
    assert made.lines.get(name="Tongs").working == "2 a cook x 2 cooks = 4"
    charcoal = made.lines.get(name="Charcoal")
    assert charcoal.working == (
        "2.5 lb a cooking hour x 4 cooking hours = 10 lb (cooking on charcoal)"
    )
    assert (charcoal.container, charcoal.container_kind) == ("Fuel, outside the cabin", "fuel")


def test_a_dessert_is_no_steak(trip, kit, owner):
    """Two steaks and a dessert: meat for two, whatever the judges get besides."""
    made = actions.make_list(
        packing_list=numbers(trip, conditions=["own_meat"]), kits=None, with_starters=False,
        by=owner.user,
    )  # fmt: skip
    steak = made.lines.get(name="Steak")
    assert steak.amount == 4
    assert steak.working == "2 a steak x 2 steaks = 4 (meat not issued: bring our own)"


def test_own_meat_and_half_a_thing(trip, kit, owner):
    ItemFactory(team=trip.team, name="Foil").kit_lines.create(kit=kit, quantity=Decimal("0.5"))
    made = actions.make_list(
        packing_list=numbers(trip, conditions=["own_meat"]), kits=None, with_starters=False,
        by=owner.user,
    )  # fmt: skip
    assert amounts(made) == {"Tongs": 4, "Towels": 4, "Steak": 4, "Foil": 1}


def test_kits_add_up_and_only_those_taken_count(trip, kit, owner):
    other = KitFactory(team=trip.team, name="Dessert")
    KitLineFactory(kit=other, item=kit.lines.get(item__name="Tongs").item)
    KitFactory(team=trip.team, name="Winter")
    made = actions.make_list(
        packing_list=numbers(trip), kits=[kit, other], with_starters=False, by=owner.user
    )
    tongs = made.lines.get(name="Tongs")
    assert tongs.amount == 5
    assert tongs.working == "1 for the trip; and 2 a cook x 2 cooks = 4; 5 in all"
    made = remake_with(made, [other], owner.user)
    assert amounts(made) == {"Tongs": 1}


def remake_with(packing_list: PackingList, kits, by) -> PackingList:
    fresh = PackingList.objects.get(pk=packing_list.pk)
    actions.remake_list(packing_list=fresh, kits=kits, seen=fresh.version, by=by)
    return fresh


def test_a_new_kit_takes_the_place_of_a_deleted_one(made, kit, owner):
    tongs = kit.lines.get(item__name="Tongs").item
    kit.delete()
    KitLineFactory(kit=KitFactory(team=owner.team), item=tongs, quantity=7)
    remake(made, owner.user)
    assert amounts(made) == {"Tongs": 7}


def test_making_twice_is_once(made, trip, owner):
    again = actions.make_list(
        packing_list=numbers(trip, cooks=3), kits=None, with_starters=False, by=owner.user
    )
    assert again.pk == made.pk
    assert amounts(again)["Tongs"] == 4


def test_starters_come_with_the_first_list(trip, owner):
    made = actions.make_list(
        packing_list=numbers(trip), kits=None, with_starters=True, by=owner.user
    )
    names = amounts(made)
    assert names["Lump charcoal"] == 10
    assert "Turn-in box" not in names
    assert "Steak, our own" not in names


def test_the_same_numbers_change_nothing(made, owner):
    before = list(made.lines.order_by("pk").values())
    assert remake(made, owner.user) == []
    assert list(made.lines.order_by("pk").values()) == before


def test_new_numbers_say_what_changed(made, owner):
    tick(made, "Tongs", owner.user)
    tick(made, "Charcoal", owner.user)
    news = remake(made, owner.user, cooks=3, conditions=[Condition.OWN_MEAT.value])
    assert sorted(news) == [
        "Added: Steak, 4.",
        "No longer needed, but you have dealt with it, so it stays marked: Charcoal.",
        "Tongs: 4 → 6, 2 more to pack.",
    ]
    tongs, charcoal = made.lines.get(name="Tongs"), made.lines.get(name="Charcoal")
    assert (tongs.amount, tongs.packed_amount, tongs.packed_by) == (6, 4, owner.user)
    assert charcoal.gone
    assert charcoal.packed_at
    assert PackingList.objects.get(pk=made.pk).news == news


def test_a_line_nobody_touched_goes(made, owner):
    assert remake(made, owner.user, conditions=[]) == ["No longer needed: Charcoal."]
    assert not made.lines.filter(name="Charcoal").exists()


def test_a_kept_line_is_needed_again(made, owner):
    tick(made, "Charcoal", owner.user)
    remake(made, owner.user, conditions=[])
    news = remake(made, owner.user, conditions=["charcoal"])
    assert news == ["Needed again: Charcoal, 10 lb."]
    assert not made.lines.get(name="Charcoal").gone


def test_hand_work_stays(made, owner):
    added = PackingLine(packing_list=made, name="Lucky hat", amount=Decimal(1))
    actions.add_line(line=added, by=owner.user)
    towels = made.lines.get(name="Towels")
    towels.amount = Decimal(9)
    actions.change_line(line=towels, seen=towels.version, by=owner.user)
    assert remake(made, owner.user, days=3, cooks=1) == ["Tongs: 4 → 2."]
    assert amounts(made) == {"Lucky hat": 1, "Towels": 9, "Tongs": 2, "Charcoal": 10}
    towels.refresh_from_db()
    assert (towels.worked_out, towels.working) == (6, "2 a day x 3 days = 6")
    again = actions.take_again(line=towels, by=owner.user)
    assert (again.amount, again.amount_own) == (6, False)


def test_left_out_stays_out_and_comes_back(made, owner):
    towels = made.lines.get(name="Towels")
    actions.leave_out(line=towels, by=owner.user)
    remake(made, owner.user, days=5)
    towels.refresh_from_db()
    assert (towels.amount, towels.worked_out) == (0, 10)
    actions.take_again(line=towels, by=owner.user)
    towels.refresh_from_db()
    assert towels.amount == 10


def test_an_item_deleted_goes_with_the_next_working_out(made, owner):
    made.lines.get(name="Towels").item.delete()
    assert "Towels" in amounts(made)
    assert remake(made, owner.user) == ["No longer needed: Towels."]


def test_a_new_unit_asks_nobody_to_pack_the_difference(made, owner):
    line = tick(made, "Charcoal", owner.user)
    item = line.item
    item.unit, item.version = "bag", item.version
    item.save()
    item.kit_lines.update(quantity=1)
    assert remake(made, owner.user) == ["Charcoal: 10 lb → 4 bags."]
    line.refresh_from_db()
    assert line.packed_amount == line.amount == 4


def test_a_shortage_follows_new_numbers(made, owner):
    line = made.lines.get(name="Tongs")
    actions.set_have(line=line, have=Decimal(3), by=owner.user)
    remake(made, owner.user, cooks=3)
    assert made.shopping.get().amount == 3
    remake(made, owner.user, cooks=1)
    line.refresh_from_db()
    assert line.have is None
    assert not made.shopping.exists()


def test_somebody_else_changed_the_numbers(made, owner):
    remake(made, UserFactory(), days=1)
    made.days = 4
    with pytest.raises(Conflict) as conflict:
        actions.remake_list(packing_list=made, kits=None, seen=1, by=owner.user)
    assert conflict.value.current.days == 1


def test_fewer_people_than_cooks_is_refused(trip, kit, owner):
    with pytest.raises(ValidationError, match="cooks are people"):
        actions.make_list(
            packing_list=numbers(trip, people=1), kits=None, with_starters=False, by=owner.user
        )
