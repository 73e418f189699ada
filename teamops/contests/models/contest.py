from datetime import date
from typing import Any, Self
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


def money(label: str, **more: Any) -> models.DecimalField:
    """An amount in the team's currency that may not be known, and is never below nothing."""
    refusal = "A fee cannot be negative." if "fee" in label else "An amount cannot be negative."
    return models.DecimalField(
        label,
        max_digits=9,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(0, refusal)],
        **more,
    )


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

    class Deposit(models.TextChoices):
        """What becomes of the deposit."""

        UNKNOWN = "", "not said"
        BACK = "back", "comes back at the contest"
        COUNTS = "counts", "counts towards the fee"
        ROLLS = "rolls", "rolls over to the next contest"
        KEPT = "kept", "is kept"

    OFF = (State.WITHDRAWN, State.CANCELLED, State.POSTPONED)

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    team = models.ForeignKey(Team, models.CASCADE, editable=False, related_name="contests")
    trip = models.ForeignKey(Trip, models.RESTRICT, related_name="contests")
    name = PlainTextField(max_length=120)
    kind = models.CharField(max_length=10, choices=Kind, default=Kind.JUDGED)
    state = models.CharField(max_length=12, choices=State, default=State.CONSIDERING)
    place = PlainTextField(max_length=120, blank=True)
    held_on = models.DateField("date", help_text="The day of the turn-in.")
    was_held_on = models.DateField("was to be on", null=True, blank=True)
    state_why = PlainTextField("why", max_length=200, blank=True)
    time_zone = PlainTextField(
        max_length=60, validators=[known_zone], help_text="The contest's own clock."
    )
    wait_list_place = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1)]
    )
    entries_open_at = models.DateTimeField("entries open", null=True, blank=True)
    deadline_on = models.DateField("entry deadline", null=True, blank=True)
    fee = money("entry fee, in all")
    fee_paid_on = models.DateField("fee paid on", null=True, blank=True)
    early_fee = money("early fee")
    early_until_on = models.DateField("early until", null=True, blank=True)
    late_fee = money("late fee")
    late_from_on = models.DateField("late from", null=True, blank=True)
    walk_up_fee = money("walk-up fee", help_text="Entered on the day, where that is possible.")
    deposit = money("deposit")
    deposit_terms = models.CharField(
        "the deposit", max_length=6, choices=Deposit, default=Deposit.UNKNOWN, blank=True
    )
    least_field = models.PositiveSmallIntegerField(
        "held only with at least",
        null=True,
        blank=True,
        help_text="Entries that must come together.",
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
    air_c = models.DecimalField(
        "air temperature", max_digits=7, decimal_places=4, null=True, blank=True
    )  # [°C], around the turn-in: expected, then as it was
    rain = models.CharField(max_length=3, choices=Answer, default="", blank=True)
    wind = models.CharField("strong wind", max_length=3, choices=Answer, default="", blank=True)
    clock_offset_seconds = models.IntegerField(
        "official clock ahead of ours, seconds", null=True, blank=True
    )
    ticket_way = PlainTextField("how the ticket works", max_length=200, blank=True)
    turn_in_table = PlainTextField("where the turn-in table is", max_length=200, blank=True)
    walk_seconds = models.PositiveSmallIntegerField("the walk there", null=True, blank=True)
    protest_minutes = models.PositiveSmallIntegerField("minutes to protest", null=True, blank=True)
    box_word = PlainTextField("box rules as said at the meeting", max_length=500, blank=True)
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
