from typing import Self
from uuid import uuid4

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import F, Q
from simple_history.models import HistoricalRecords

from teamops.contests.models.contest import Contest, money
from teamops.rules.models import Rulebook
from teamops.teams.fields import PlainTextField
from teamops.teams.models import Team, User
from teamops.teams.scoping import ScopedQuerySet
from teamops.teams.versions import Versioned


def temperature(label: str) -> models.DecimalField:
    """A temperature of the meat. [°C]"""
    return models.DecimalField(label, max_digits=7, decimal_places=4, null=True, blank=True)


class Category(models.Model):
    """
    What is cooked: ribeye, or an ancillary such as a dessert.

    `aim_c` is the peak temperature the team aims at; where it has none, none is assumed of a
    category that nobody cooks to a temperature.
    """

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    team = models.ForeignKey(Team, models.CASCADE, editable=False, related_name="categories")
    name = PlainTextField(max_length=60)
    ancillary = models.BooleanField(default=False)
    aim_c = temperature("peak temperature aimed at")

    objects = ScopedQuerySet["Category"].as_manager()

    class Meta:
        ordering = ["ancillary", "name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["team", "name"],
                name="category_name_once_a_team",
                violation_error_message="You have this category already.",
            )
        ]

    def __str__(self) -> str:
        return self.name


class EntryQuerySet(ScopedQuerySet["Entry"]):
    team_path = "contest__team"

    def waiting(self) -> Self:
        return self.filter(turned_in_at=None)


class Entry(Versioned):
    """One box the team owes the judges: a category at a contest, with its turn-in window.

    `marked_at` is set while score sheets are written for it: until they are taken away, the
    rulebook they were written under stays.
    """

    class State(models.TextChoices):
        """What became of the box, where it was not simply turned in and judged."""

        USUAL = "", "as planned"
        DROPPED = "dropped", "category dropped"
        NOT_JUDGED = "not_judged", "not judged"
        WITHDRAWN = "withdrawn", "withdrawn"
        NOT_TURNED_IN = "missed", "not turned in"

    class Late(models.TextChoices):
        """What the judges made of a late box."""

        UNKNOWN = "", "not late, or nothing said"
        TAKEN = "taken", "taken all the same"
        DOCKED = "docked", "docked"
        ZERO = "zero", "counted as zero"
        OUT = "out", "not judged"

    class TieWay(models.TextChoices):
        UNKNOWN = "", "not said"
        SHARED = "shared", "shared"
        CHAIN = "chain", "by the rulebook’s steps"
        DRAW = "draw", "by a draw"

    class Doneness(models.TextChoices):
        UNKNOWN = "", "not noted"
        UNDER = "under", "under"
        RIGHT = "right", "right"
        OVER = "over", "over"

    OUT = (State.DROPPED, State.WITHDRAWN, State.NOT_TURNED_IN)

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    contest = models.ForeignKey(Contest, models.CASCADE, editable=False, related_name="entries")
    category = models.ForeignKey(Category, models.RESTRICT, related_name="entries")
    rulebook = models.ForeignKey(Rulebook, models.RESTRICT, related_name="+")
    cook_of_record = models.ForeignKey(
        User, models.PROTECT, null=True, blank=True, related_name="+"
    )
    guest_cook = PlainTextField(
        max_length=80, blank=True, help_text="Somebody outside the team who cooks this box."
    )
    cooked_for = PlainTextField(
        "cooked for another team", max_length=80, blank=True, help_text="Whose box it is."
    )
    state = models.CharField(
        "what became of it", max_length=10, choices=State, default=State.USUAL, blank=True
    )
    team_number = PlainTextField(max_length=20, blank=True)
    blind_number = PlainTextField(max_length=20, blank=True)
    window_opens_at = models.DateTimeField("turn-in opens", null=True, blank=True)
    window_closes_at = models.DateTimeField("turn-in closes", null=True, blank=True)
    turned_in_at = models.DateTimeField(null=True, blank=True, editable=False)
    turned_in_by = models.ForeignKey(
        User, models.PROTECT, null=True, blank=True, editable=False, related_name="+"
    )
    turn_in_note = PlainTextField(max_length=200, blank=True)
    spare_turned_in = models.BooleanField("the spare was turned in", default=False)
    late = models.CharField(
        "as a late box it was", max_length=6, choices=Late, default=Late.UNKNOWN, blank=True
    )
    late_points = models.DecimalField(
        "points taken off",
        max_digits=9,
        decimal_places=4,
        null=True,
        blank=True,
        validators=[MinValueValidator(0, "Points taken off cannot be negative.")],
    )
    marked_at = models.DateTimeField(null=True, blank=True, editable=False)  # sheets are written
    disqualified = models.BooleanField(default=False)
    disqualified_why = PlainTextField("why", max_length=300, blank=True)
    overturned_why = PlainTextField(
        "why the disqualification was taken back", max_length=300, blank=True
    )
    official_total = models.DecimalField(max_digits=10, decimal_places=4, null=True, blank=True)
    placing = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1)]
    )
    field_size = models.PositiveSmallIntegerField(
        "entries in the field", null=True, blank=True, validators=[MinValueValidator(1)]
    )
    tied = models.BooleanField("tied for this place", default=False)
    tie_way = models.CharField(
        "the tie was settled", max_length=6, choices=TieWay, default=TieWay.UNKNOWN, blank=True
    )
    prize_owed = money("prize")
    prize_received = money("prize received")
    prize_received_on = models.DateField("received on", null=True, blank=True)
    prize_note = PlainTextField("about the prize", max_length=200, blank=True)
    qualifies_for = PlainTextField("qualifies for", max_length=120, blank=True)
    pull_c = temperature("pull temperature")
    last_seen_c = temperature("last seen temperature")
    peak_c = temperature("peak temperature")
    doneness_seen = models.CharField(
        "doneness as seen", max_length=5, choices=Doneness, default=Doneness.UNKNOWN, blank=True
    )
    notes = PlainTextField(max_length=2000, blank=True)

    objects = EntryQuerySet.as_manager()
    history = HistoricalRecords()

    class Meta:
        ordering = [
            F("window_closes_at").asc(nulls_last=True),
            "category__ancillary",
            "category__name",
            "pk",
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(window_opens_at=None)
                | Q(window_closes_at=None)
                | Q(window_opens_at__lt=F("window_closes_at")),
                name="entry_window_opens_first",
                violation_error_message="The turn-in window must open before it closes.",
            ),
            models.CheckConstraint(
                condition=Q(turned_in_at=None, turned_in_by=None)
                | Q(turned_in_at__isnull=False, turned_in_by__isnull=False),
                name="entry_turn_in_is_who_and_when",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.category} at {self.contest}"
