from datetime import timedelta

import factory
from django.utils import timezone

from teamops.teams.models import Invitation, ListLink, Membership, Team, User
from teamops.teams.roles import Role


class UserFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = User
        skip_postgeneration_save = True

    name = factory.Sequence(lambda n: f"Cook {n}")
    email = factory.Sequence(lambda n: f"cook{n}@example.test")


class TeamFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Team

    name = factory.Sequence(lambda n: f"Team {n}")
    slug = factory.Sequence(lambda n: f"team-{n}")


class MembershipFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Membership

    team = factory.SubFactory(TeamFactory)
    user = factory.SubFactory(UserFactory)
    role = Role.OWNER


class InvitationFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Invitation

    team = factory.SubFactory(TeamFactory)
    invited_by = factory.SubFactory(UserFactory)
    token_hash = factory.Sequence(lambda n: f"{n:064d}")
    expires_at = factory.LazyFunction(lambda: timezone.now() + timedelta(days=7))


class ListLinkFactory(factory.django.DjangoModelFactory):
    """A calendar's link; `kind` and `object_id` make it one to a list."""

    class Meta:
        model = ListLink

    team = factory.SubFactory(TeamFactory)
    kind = ListLink.Kind.CALENDAR
    label = factory.Sequence(lambda n: f"Partner {n}")
    made_by = factory.SubFactory(UserFactory)
    token_hash = factory.Sequence(lambda n: f"{n:064x}")
