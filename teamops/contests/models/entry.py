from typing import Self
from uuid import uuid4

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import F, Q
from simple_history.models import HistoricalRecords

from teamops.contests.models.contest import Contest
from teamops.rules.models import Rulebook
from teamops.teams.fields import PlainTextField
from teamops.teams.models import Team, User
from teamops.teams.scoping import ScopedQuerySet
from teamops.teams.versions import Versioned


class Category(models.Model):
    """What is cooked: ribeye, or an ancillary such as a dessert."""

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    team = models.ForeignKey(Team, models.CASCADE, editable=False, related_name="categories")
    name = PlainTextField(max_length=60)
    ancillary = models.BooleanField(default=False)

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

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    contest = models.ForeignKey(Contest, models.CASCADE, editable=False, related_name="entries")
    category = models.ForeignKey(Category, models.RESTRICT, related_name="entries")
    rulebook = models.ForeignKey(Rulebook, models.RESTRICT, related_name="+")
    cook_of_record = models.ForeignKey(
        User, models.PROTECT, null=True, blank=True, related_name="+"
    )
    team_number = PlainTextField(max_length=20, blank=True)
    blind_number = PlainTextField(max_length=20, blank=True)
    window_opens_at = models.DateTimeField("turn-in opens", null=True, blank=True)
    window_closes_at = models.DateTimeField("turn-in closes", null=True, blank=True)
    turned_in_at = models.DateTimeField(null=True, blank=True, editable=False)
    turned_in_by = models.ForeignKey(
        User, models.PROTECT, null=True, blank=True, editable=False, related_name="+"
    )
    marked_at = models.DateTimeField(null=True, blank=True, editable=False)  # sheets are written
    disqualified = models.BooleanField(default=False)
    disqualified_why = PlainTextField("why", max_length=300, blank=True)
    official_total = models.DecimalField(max_digits=10, decimal_places=4, null=True, blank=True)
    placing = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1)]
    )
    field_size = models.PositiveSmallIntegerField(
        "entries in the field", null=True, blank=True, validators=[MinValueValidator(1)]
    )
    tied = models.BooleanField("tied for this place", default=False)
    peak_c = models.DecimalField(
        "peak temperature", max_digits=7, decimal_places=4, null=True, blank=True
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
            models.UniqueConstraint(  # two boxes in a category are normal, two of one number not
                fields=["contest", "category", "blind_number"],
                condition=~Q(blind_number=""),
                name="entry_blind_number_once",
                violation_error_message="Another box in this category has this blind number.",
                violation_error_code="blind_number",  # the field that says so
            ),
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
