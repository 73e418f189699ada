import json
from decimal import Decimal

import pytest
from django.conf import settings

from teamops.calc.demand import MEASURED_UNITS, Condition, DemandRule
from teamops.inventory.actions import add_starters
from teamops.inventory.models import Container, Item, Kit, KitLine
from teamops.inventory.starters import read_starters
from tests.factories.inventory import ContainerFactory, ItemFactory


def test_starters_come_once(team, owner):
    added = add_starters(team=team, by=owner.user)
    assert added == Item.objects.for_team(team).count() == KitLine.objects.count() > 100
    assert add_starters(team=team, by=owner.user) == 0
    assert Kit.objects.for_team(team).count() == 1
    assert Container.objects.for_team(team).count() == len(read_starters("us").containers)


def test_what_the_team_has_stays_as_it_is(team, owner, stranger):
    ours = ItemFactory(team=team, name="Tongs, long", mass_kg=9)
    box = ContainerFactory(team=team, name="Utensil roll", order=77)
    ItemFactory(team=stranger.team, name="Spatula, wide")
    add_starters(team=team, by=owner.user)
    ours.refresh_from_db()
    box.refresh_from_db()
    assert (ours.mass_kg, ours.kit_lines.count(), box.order) == (9, 0, 77)
    spatula = Item.objects.for_team(team).get(name="Spatula, wide")
    assert (spatula.container, spatula.changed_by) == (box, owner.user)


def test_every_row_can_be_stored_and_rides_somewhere(team, owner):
    add_starters(team=team, by=owner.user)
    for line in KitLine.objects.select_related("item__container"):
        line.full_clean()
        line.item.full_clean()
        assert line.item.container


def test_a_bad_team_has_nothing_half_done(team, owner, monkeypatch):
    def fail(*args: object, **kwargs: object) -> None:
        raise RuntimeError

    monkeypatch.setattr(KitLine.objects, "bulk_create", fail)
    with pytest.raises(RuntimeError):
        add_starters(team=team, by=owner.user)
    assert not Item.objects.exists()
    assert not Kit.objects.exists()


@pytest.mark.outside(
    "common practice, no source: what organisers issue is packed only if they do not"
)
def test_what_is_issued_is_conditional():
    rows = {row.name: row for row in read_starters("us").items}
    assert rows["Steak, our own"].condition == rows["Steak, spare"].condition == Condition.OWN_MEAT
    assert rows["Turn-in box"].condition == Condition.OWN_BOXES
    for name in ("Blade tenderizer, guarded", "Press weight", "Lighter, long neck", "Box carrier"):
        assert rows[name].condition == Condition.ALWAYS


@pytest.mark.outside("common practice, no source: a dessert box wants a box, but no butcher twine")
def test_what_is_for_a_steak_is_counted_by_steaks():
    rows = read_starters("us").items
    assert {row.name for row in rows if row.rule == DemandRule.PER_STEAK} == {
        "Wood chunks", "Wire rack for resting", "Marinade tray with lid", "Butcher paper",
        "Butcher twine", "Steak tags or picks", "Steak, our own", "Steak, spare",
        "Butter, unsalted", "Marinade or dry brine", "High-heat oil", "Seasoning, base",
        "Seasoning, finishing",
    }  # fmt: skip
    assert {row.name for row in rows if row.rule == DemandRule.PER_ENTRY} == {
        "Spoons for tasting", "Sheet pan, half size", "Foil pan, half size", "Zip bags, large",
        "Squeeze bottle", "Turn-in box", "Box liner", "Score sheets, blank",
    }  # fmt: skip


def test_every_raw_thing_rides_with_raw_things():
    starters = read_starters("us")
    kinds = {name: kind for name, kind, _ in starters.containers}
    raw = {row.name for row in starters.items if kinds[row.container] == Container.Kind.RAW}
    assert raw == {
        "Cold box A, empty", "Ice for cold box A", "Steak, our own", "Steak, spare",
        "Ancillary protein",
    }  # fmt: skip


@pytest.mark.outside("computed: 1 lb = 0.45359237 kg, 1 gal = 231 in³, to two figures")
def test_a_metric_team_gets_metric_amounts():
    us = {row.name: row for row in read_starters("us").items}
    si = {row.name: row for row in read_starters("si").items}
    charcoal, water = si["Lump charcoal"], si["Drinking water"]
    assert (charcoal.unit, charcoal.quantity) == ("kg", Decimal("1.1"))  # 2.5 lb are 1.134 kg
    assert charcoal.mass_kg == 1
    assert (water.unit, water.quantity) == ("L", Decimal("3.8"))
    assert water.mass_kg == Decimal("0.999352")  # 8.34 lb in 3.785 L
    assert si["Canopy weights"].quantity == 73  # 160 lb are 72.6 kg
    assert si["Tongs, long"] == us["Tongs, long"]


def test_the_record_is_well_formed():
    record = json.loads((settings.FIXTURES / "starter-items.json").read_text())
    assert "no source" in record["about"]
    boxes = {row["name"] for row in record["containers"]}
    names = [row["name"] for row in record["items"]]
    assert len(set(names)) == len(names)
    for row in record["items"]:
        assert row["container"] in boxes
        DemandRule(row["rule"])
        pounds = Decimal(row["pounds"])
        assert pounds >= 0
        assert row["unit"] not in MEASURED_UNITS or pounds <= 10
