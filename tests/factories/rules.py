from decimal import Decimal

import factory

from teamops.rules.models import Criterion, Rulebook


class CriterionFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Criterion

    rulebook = factory.SubFactory("tests.factories.rules.RulebookFactory", criteria=0)
    order = factory.Sequence(lambda n: n + 1)
    key = factory.LazyAttribute(lambda row: f"k{row.order}")
    name = factory.LazyAttribute(lambda row: f"Criterion {row.order}")
    least = Decimal(1)
    most = Decimal(10)
    step = Decimal("0.5")


STEAK = ("Appearance", "Doneness", "Taste", "Texture", "Overall impression")


class RulebookFactory(factory.django.DjangoModelFactory):
    """A shared rulebook of five criteria, marked 1-10 in halves by five judges: 250 at most."""

    class Meta:
        model = Rulebook
        skip_postgeneration_save = True

    name = factory.Sequence(lambda n: f"Rulebook {n}")
    edition = "1"
    sheets_expected = 5

    @factory.post_generation
    def criteria(self, create: bool, extracted: int | None, **kwargs: object) -> None:
        names = STEAK[: 5 if extracted is None else extracted]
        for order, name in enumerate(names, start=1):
            key = name.split()[0].lower()
            CriterionFactory(rulebook=self, order=order, key=key, name=name)
