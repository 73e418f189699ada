from decimal import Decimal

import factory

from teamops.calc.demand import Condition, DemandRule
from teamops.inventory.models import Container, Item, Kit, KitLine
from tests.factories.teams import TeamFactory


class ContainerFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Container

    class Params:
        raw = factory.Trait(name="Cold box, raw meat", kind=Container.Kind.RAW)
        fuel = factory.Trait(name="Fuel, outside the cabin", kind=Container.Kind.FUEL)

    team = factory.SubFactory(TeamFactory)
    name = factory.Sequence(lambda n: f"Tote {n}")
    order = factory.Sequence(lambda n: n + 1)


class ItemFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Item

    team = factory.SubFactory(TeamFactory)
    name = factory.Sequence(lambda n: f"Item {n}")
    group = "cooking gear"
    unit = "each"
    mass_kg = Decimal("1.5")


class KitFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Kit

    team = factory.SubFactory(TeamFactory)
    name = factory.Sequence(lambda n: f"Kit {n}")


class KitLineFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = KitLine

    kit = factory.SubFactory(KitFactory)
    item = factory.SubFactory(ItemFactory, team=factory.SelfAttribute("..kit.team"))
    quantity = Decimal(1)
    rule = DemandRule.FIXED.value
    condition = Condition.ALWAYS.value
