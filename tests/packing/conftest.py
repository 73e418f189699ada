from datetime import date
from decimal import Decimal

import pytest

from teamops.calc.demand import Condition, DemandRule
from teamops.contests.models import Trip
from teamops.inventory.models import Kit
from teamops.packing.models import PackingList
from teamops.teams.models import Team
from tests.factories.contests import ContestFactory, TripFactory
from tests.factories.inventory import ContainerFactory, ItemFactory, KitFactory, KitLineFactory


@pytest.fixture
def trip(team: Team) -> Trip:
    trip = TripFactory(team=team, name="Gravel Bar")
    ContestFactory(team=team, trip=trip, name="Gravel Bar", held_on=date(2099, 6, 12))
    return trip


@pytest.fixture
def kit(team: Team) -> Kit:
    """Tongs 2 a cook, charcoal 2.5 lb an hour on charcoal, towels 2 a day, steaks if not issued."""
    kit = KitFactory(team=team, name="Steak")
    tote, fuel = ContainerFactory(team=team, name="Tote"), ContainerFactory(team=team, fuel=True)
    rows = (
        ("Tongs", "each", DemandRule.PER_COOK, "2", Condition.ALWAYS, tote),
        ("Charcoal", "lb", DemandRule.PER_COOK_HOUR, "2.5", Condition.CHARCOAL, fuel),
        ("Towels", "roll", DemandRule.PER_DAY, "2", Condition.ALWAYS, tote),
        ("Steak", "each", DemandRule.PER_STEAK, "2", Condition.OWN_MEAT, None),
    )
    for name, unit, rule, quantity, condition, container in rows:
        item = ItemFactory(
            team=team, name=name, unit=unit, container=container, consumable=name != "Tongs"
        )
        KitLineFactory(
            kit=kit, item=item, quantity=Decimal(quantity), rule=rule.value,
            condition=condition.value,
        )  # fmt: skip
    return kit


def numbers(trip: Trip, **more: object) -> PackingList:
    """Not yet made: 2 cooks, 3 people, 2 days, 2 steaks and a dessert, 4 hours on charcoal."""
    given = {
        "title": trip.name, "entries": 3, "steaks": 2, "cooks": 2, "people": 3, "days": 2,
        "cook_hours": Decimal(4), "conditions": [Condition.CHARCOAL.value],
    }  # fmt: skip
    return PackingList(trip=trip, **(given | more))
