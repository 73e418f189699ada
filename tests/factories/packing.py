from decimal import Decimal

import factory
from django.utils import timezone

from teamops.packing.models import PackingLine, PackingList, ShoppingLine
from tests.factories.contests import TripFactory
from tests.factories.teams import UserFactory


class PackingListFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = PackingList
        skip_postgeneration_save = True

    trip = factory.SubFactory(TripFactory)
    title = factory.SelfAttribute("trip.name")
    made_at = factory.LazyFunction(timezone.now)
    made_by = factory.SubFactory(UserFactory)

    @factory.post_generation
    def lines(self, create: bool, extracted: int | None, **kwargs: object) -> None:
        for _ in range(extracted or 0):
            PackingLineFactory(packing_list=self, **kwargs)


class PackingLineFactory(factory.django.DjangoModelFactory):
    """A line added by hand; `packed` ticks it."""

    class Meta:
        model = PackingLine

    class Params:
        packed = factory.Trait(
            packed_at=factory.LazyFunction(timezone.now),
            packed_by=factory.SubFactory(UserFactory),
            packed_amount=factory.SelfAttribute("amount"),
        )

    packing_list = factory.SubFactory(PackingListFactory)
    name = factory.Sequence(lambda n: f"Thing {n:03}")
    amount = Decimal(4)
    mass_kg = Decimal("0.5")
    container = "Grill tote"
    container_whole = True
    own = True


class ShoppingLineFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = ShoppingLine

    team = factory.SelfAttribute("packing_list.trip.team")
    packing_list = factory.SubFactory(PackingListFactory)
    name = factory.Sequence(lambda n: f"Buy {n}")
    amount = Decimal(2)
