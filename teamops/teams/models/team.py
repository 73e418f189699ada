from uuid import uuid4
from zoneinfo import ZoneInfo

from django.core.exceptions import PermissionDenied, ValidationError
from django.core.validators import RegexValidator
from django.db import models
from django.db.models.functions import Lower

from teamops.teams.fields import PlainTextField
from teamops.teams.models.user import User
from teamops.teams.roles import Permission, Role
from teamops.teams.scoping import ScopedQuerySet
from teamops.teams.zones import zones


def known_zone(name: str) -> None:
    """Refuse a time zone that no clock knows."""
    if name not in zones():
        raise ValidationError(
            f"“{name}” is not a time zone. Write a big city by the same clock, such as Chicago,"
            " or Area/City, such as America/Chicago."
        )


class TeamQuerySet(models.QuerySet["Team"]):
    def of(self, user: User) -> "TeamQuerySet":
        return self.filter(memberships__user=user)

    def restamp(self) -> None:
        """Say that something of these teams may have changed: what was kept of them is old."""
        self.update(stamp=uuid4())


class Team(models.Model):
    """
    A cook team. It needs only a name; the rest has a default and is asked where it matters.

    `stamp` names the state of everything the team holds: it is another one after each press that
    may have changed any of it. The doors of pages see to that (`team_view`, `linked_view`); what
    else writes for a team calls `restamp` once it is committed. Pages may be kept under it.
    """

    class Units(models.TextChoices):
        US = "us", "pounds, inches, °F"
        SI = "si", "kilograms, millimetres, °C"

    class Paper(models.TextChoices):
        LETTER = "letter", "Letter"
        A4 = "A4", "A4"

    name = PlainTextField("team name", max_length=80)
    slug = models.SlugField(max_length=60, unique=True, editable=False)
    home_place = PlainTextField(max_length=80, blank=True, help_text="Where the trailer sleeps.")
    time_zone = PlainTextField(
        max_length=60,
        default="America/Chicago",
        validators=[known_zone],
        help_text="Home clock; each contest has its own. For example America/Chicago.",
    )
    units = models.CharField(max_length=2, choices=Units, default=Units.US)
    currency = PlainTextField(
        max_length=3,
        default="USD",
        validators=[RegexValidator(r"^[A-Z]{3}$", "Three capital letters, such as USD or EUR.")],
    )
    paper = models.CharField(max_length=6, choices=Paper, default=Paper.LETTER)
    created_at = models.DateTimeField(auto_now_add=True)
    stamp = models.UUIDField(default=uuid4, editable=False)

    objects = TeamQuerySet.as_manager()

    def __str__(self) -> str:
        return self.name

    @property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.time_zone)

    @property
    def page_size(self) -> str:
        return self.paper


class MembershipQuerySet(ScopedQuerySet["Membership"]):
    def by_name(self) -> "MembershipQuerySet":
        return self.select_related("user").order_by(Lower("user__name"), "user__email")


class Membership(models.Model):
    """A person's place in a team."""

    team = models.ForeignKey(Team, models.CASCADE, related_name="memberships")
    user = models.ForeignKey(User, models.CASCADE, related_name="memberships")
    role = models.CharField(max_length=6, choices=Role, default=Role.COOK)
    since = models.DateTimeField(auto_now_add=True)

    objects = MembershipQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["team", "user"], name="membership_once_a_team")
        ]

    def __str__(self) -> str:
        return f"{self.user}, {self.get_role_display().lower()} of {self.team}"

    def may(self, permission: Permission) -> bool:
        return Role(self.role).may(permission)

    def require(self, permission: Permission) -> None:
        """Refuse (PermissionDenied, 403) a member whose role does not hold `permission`."""
        if not self.may(permission):
            raise PermissionDenied(
                f"Your role in {self.team} is {self.get_role_display().lower()}. "
                f"This needs someone who may {permission.meaning}: ask an owner."
            )
