from datetime import date, timedelta
from decimal import Decimal

import factory
from django.utils import timezone

from teamops.contests.models import (
    Category,
    ChecklistTemplate,
    Contest,
    Entry,
    Payment,
    Task,
    TeamPaper,
    TemplateTask,
    Trip,
)
from tests.factories.rules import RulebookFactory
from tests.factories.teams import TeamFactory


class TripFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Trip

    team = factory.SubFactory(TeamFactory)
    name = factory.Sequence(lambda n: f"Trip {n}")


class ContestFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Contest

    class Params:
        past = factory.Trait(
            # a sequence runs on through all tests: room for thousands before it meets today
            held_on=factory.Sequence(lambda n: date(2000, 3, 1) + timedelta(days=2 * n)),
            state=Contest.State.COOKED,
        )

    team = factory.SubFactory(TeamFactory)
    trip = factory.SubFactory(TripFactory, team=factory.SelfAttribute("..team"))
    name = factory.Sequence(lambda n: f"Contest {n}")
    held_on = factory.LazyFunction(lambda: timezone.now().date() + timedelta(days=10))
    time_zone = "America/Chicago"
    state = Contest.State.ACCEPTED


class CategoryFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Category
        django_get_or_create = ("team", "name")

    team = factory.SubFactory(TeamFactory)
    name = "Ribeye"


class EntryFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Entry

    contest = factory.SubFactory(ContestFactory)
    category = factory.SubFactory(CategoryFactory, team=factory.SelfAttribute("..contest.team"))
    rulebook = factory.SubFactory(RulebookFactory)


class TaskFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Task

    contest = factory.SubFactory(ContestFactory)
    title = factory.Sequence(lambda n: f"Task {n}")
    due_on = factory.LazyFunction(lambda: timezone.now().date() + timedelta(days=3))


class PaymentFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Payment

    contest = factory.SubFactory(ContestFactory)
    kind = Payment.Kind.FEE
    amount = Decimal("150.00")
    paid_on = date(2027, 5, 3)


class TeamPaperFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = TeamPaper

    team = factory.SubFactory(TeamFactory)
    kind = TeamPaper.Kind.FOOD_HANDLER


class ChecklistFactory(factory.django.DjangoModelFactory):
    """A kept checklist; `lines=3` gives it lines, each a day further before the turn-in."""

    class Meta:
        model = ChecklistTemplate
        skip_postgeneration_save = True

    team = factory.SubFactory(TeamFactory)
    name = factory.Sequence(lambda n: f"Checklist {n}")

    @factory.post_generation
    def lines(self, create: bool, extracted: int | None, **kwargs: object) -> None:
        for days in range(extracted or 0):
            TemplateTask.objects.create(template=self, title=f"Line {days}", offset_days=-days)
