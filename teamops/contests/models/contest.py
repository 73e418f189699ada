from datetime import date
from typing import Self
from uuid import uuid4
from zoneinfo import ZoneInfo

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import F, Q
from simple_history.models import HistoricalRecords

from teamops.contests.models.trip import Trip
from teamops.teams.fields import PlainTextField
from teamops.teams.models import Team, known_zone
from teamops.teams.scoping import ScopedQuerySet
from teamops.teams.versions import Versioned


class ContestQuerySet(ScopedQuerySet["Contest"]):
    def coming(self, today: date) -> Self:
        """From today on, soonest first, without those that will not happen for us."""
        return (
            self.filter(held_on__gte=today)
            .exclude(state__in=Contest.OFF)
            .order_by("held_on", "name", "pk")
        )

    def past(self, today: date) -> Self:
        """Before today, latest first."""
        return self.filter(held_on__lt=today).order_by("-held_on", "name", "pk")


class Contest(Versioned):
    """A contest the team considers, enters or has cooked; or a practice at home."""

    class Kind(models.TextChoices):
        JUDGED = "judged", "Judged contest"
        PRACTICE = "practice", "Practice"

    class State(models.TextChoices):
        CONSIDERING = "considering", "considering"
        ENTERED = "entered", "entered"
        PAID = "paid", "paid"
        ACCEPTED = "accepted", "accepted"
        WAIT_LIST = "wait_list", "on the wait list"
        WITHDRAWN = "withdrawn", "withdrawn"
        POSTPONED = "postponed", "postponed"
        CANCELLED = "cancelled", "cancelled"
        COOKED = "cooked", "cooked"

    class Answer(models.TextChoices):
        """What is known of the site: asked where it first matters."""

        UNKNOWN = "", "not known yet"
        YES = "yes", "yes"
        NO = "no", "no"

    OFF = (State.WITHDRAWN, State.CANCELLED, State.POSTPONED)

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    team = models.ForeignKey(Team, models.CASCADE, editable=False, related_name="contests")
    trip = models.ForeignKey(Trip, models.RESTRICT, related_name="contests")
    name = PlainTextField(max_length=120)
    kind = models.CharField(max_length=10, choices=Kind, default=Kind.JUDGED)
    state = models.CharField(max_length=12, choices=State, default=State.CONSIDERING)
    place = PlainTextField(max_length=120, blank=True)
    held_on = models.DateField("date", help_text="The day of the turn-in.")
    time_zone = PlainTextField(
        max_length=60, validators=[known_zone], help_text="The contest's own clock."
    )
    wait_list_place = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1)]
    )
    deadline_on = models.DateField("entry deadline", null=True, blank=True)
    fee = models.DecimalField(
        "entry fee, in all",
        max_digits=9,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(0, "A fee cannot be negative.")],
    )
    drive_minutes = models.PositiveSmallIntegerField("drive, minutes", null=True, blank=True)
    load_in_at = models.DateTimeField("load-in", null=True, blank=True)
    meeting_at = models.DateTimeField("cooks' meeting", null=True, blank=True)
    awards_at = models.DateTimeField("awards", null=True, blank=True)
    site_power = models.CharField(
        "power on site", max_length=3, choices=Answer, default="", blank=True
    )
    site_water = models.CharField(
        "water on site", max_length=3, choices=Answer, default="", blank=True
    )
    meat_issued = models.CharField(
        "steaks issued", max_length=3, choices=Answer, default="", blank=True
    )
    boxes_issued = models.CharField(
        "turn-in boxes issued", max_length=3, choices=Answer, default="", blank=True
    )
    site_notes = PlainTextField(
        max_length=2000, blank=True, help_text="Gate, quiet hours, ice, fire rules."
    )
    notes = PlainTextField(max_length=4000, blank=True)

    objects = ContestQuerySet.as_manager()
    history = HistoricalRecords()

    class Meta:
        ordering = ["held_on", "name", "pk"]
        indexes = [models.Index(fields=["team", "held_on"])]
        constraints = [
            models.CheckConstraint(
                condition=Q(deadline_on=None) | Q(deadline_on__lte=F("held_on")),
                name="contest_deadline_by_the_day",
                violation_error_message="The entry deadline must not be after the contest.",
            ),
            models.CheckConstraint(
                condition=Q(fee=None) | Q(fee__gte=0),
                name="contest_fee_not_negative",
                violation_error_message="A fee cannot be negative.",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.time_zone)

    @property
    def is_off(self) -> bool:
        return self.state in self.OFF
