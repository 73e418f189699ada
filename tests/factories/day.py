from datetime import UTC, datetime

import factory

from teamops.contests.models import Protest
from tests.factories.contests import EntryFactory
from tests.factories.teams import UserFactory


class ProtestFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Protest

    entry = factory.SubFactory(EntryFactory)
    reason = "The sum is wrong."
    lodged_at = datetime(2027, 6, 12, 21, 20, tzinfo=UTC)
    lodged_by = factory.SubFactory(UserFactory)
