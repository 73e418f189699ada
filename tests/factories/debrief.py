import factory

from teamops.judging.models import Debrief, OpenPoint
from tests.factories.contests import ContestFactory
from tests.factories.teams import UserFactory


class DebriefFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Debrief

    contest = factory.SubFactory(ContestFactory, past=True)
    happened = "Wind from the left all morning."


class OpenPointFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = OpenPoint

    contest = factory.SubFactory(ContestFactory, past=True)
    words = factory.Sequence(lambda n: f"Point {n}")
    made_by = factory.SubFactory(UserFactory)
