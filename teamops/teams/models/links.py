import hashlib
import secrets
from datetime import timedelta
from typing import Self

from django.db import models
from django.utils import timezone

from teamops.teams.fields import PlainTextField
from teamops.teams.models.team import Team
from teamops.teams.models.user import User
from teamops.teams.roles import Role
from teamops.teams.scoping import ScopedQuerySet


def hash_token(token: str) -> str:
    """What is stored of a link's secret: someone who reads the table cannot use it."""
    return hashlib.sha256(token.encode()).hexdigest()


class OnceLink(models.Model):
    """A link that works once, until it expires; only the hash of its secret is stored."""

    token_hash = models.CharField(max_length=64, unique=True, editable=False)
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        abstract = True

    def renew(self, lasts: timedelta) -> str:
        """Set a new secret and give it back: the only moment it can be read."""
        token = secrets.token_urlsafe(24)
        self.token_hash = hash_token(token)
        self.expires_at = timezone.now() + lasts
        return token

    @classmethod
    def find(cls, token: str) -> Self | None:
        """The link of this secret if it may still be used."""
        rows = cls._base_manager.filter(token_hash=hash_token(token))
        return rows.filter(used_at=None, expires_at__gt=timezone.now()).first()

    def take(self) -> bool:
        """Use the link up; False if another press was first. One conditional update decides."""
        rows = type(self)._base_manager.filter(pk=self.pk, used_at=None)
        return rows.filter(expires_at__gt=timezone.now()).update(used_at=timezone.now()) == 1


class SignInLink(OnceLink):
    """Signs one person in, once: printed when the demo starts or mailed on request."""

    user = models.ForeignKey(User, models.CASCADE, related_name="+")

    def __str__(self) -> str:
        return f"Sign-in link for {self.user}"


class Invitation(OnceLink):
    """A place in the team for whoever opens the link, never above the giver's own role."""

    team = models.ForeignKey(Team, models.CASCADE, related_name="invitations")
    role = models.CharField(max_length=6, choices=Role, default=Role.COOK)
    note = PlainTextField("for whom", max_length=80, blank=True)
    invited_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    used_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")

    objects = ScopedQuerySet["Invitation"].as_manager()

    class Meta:
        ordering = ["expires_at", "pk"]

    def __str__(self) -> str:
        return f"Invitation to {self.team}"


class ListLink(models.Model):
    """
    A standing link to one list for somebody without an account, until it is taken back.

    `kind` and `object_id` say which list; the app that owns the list answers the link. Only the
    hash of its secret is stored.
    """

    class Kind(models.TextChoices):
        CALENDAR = "calendar", "the team’s calendar"
        CHECKLIST = "checklist", "a contest’s to-dos"
        PREP = "prep", "a contest’s prep sheet"
        PACKING = "packing", "a packing list"

    class May(models.TextChoices):
        SEE = "see", "see it"
        TICK = "tick", "see it and tick it off"

    team = models.ForeignKey(Team, models.CASCADE, editable=False, related_name="list_links")
    kind = models.CharField(max_length=9, choices=Kind, editable=False)
    object_id = models.UUIDField(null=True, blank=True, editable=False)
    label = PlainTextField("for whom", max_length=80)
    may = models.CharField("may", max_length=4, choices=May, default=May.TICK)
    token_hash = models.CharField(max_length=64, unique=True, editable=False)
    made_by = models.ForeignKey(User, models.PROTECT, editable=False, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
    revoked_at = models.DateTimeField(null=True, blank=True, editable=False)
    last_used_on = models.DateField(null=True, blank=True, editable=False)

    objects = ScopedQuerySet["ListLink"].as_manager()

    class Meta:
        ordering = ["made_at", "pk"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}, for {self.label}"

    def renew(self) -> str:
        """Set a new secret and give it back: the only moment it can be read."""
        token = secrets.token_urlsafe(24)
        self.token_hash = hash_token(token)
        return token

    @classmethod
    def find(cls, token: str, kind: str) -> Self | None:
        """The link of this secret and kind, unless it was taken back."""
        rows = cls._base_manager.filter(token_hash=hash_token(token), kind=kind, revoked_at=None)
        return rows.select_related("team", "made_by").first()
