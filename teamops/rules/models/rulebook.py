from decimal import Decimal
from typing import Any, Self
from uuid import uuid4

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils import timezone
from simple_history.models import HistoricalRecords

from teamops.teams.fields import PlainTextField
from teamops.teams.models import Team
from teamops.teams.scoping import ScopedQuerySet


class RulebookQuerySet(ScopedQuerySet["Rulebook"]):
    def for_team(self, team: Any) -> Self:
        """The team's own rulebooks and the shared ones, which no team owns."""
        return self.filter(Q(team=team) | Q(team=None))

    def shared(self) -> Self:
        return self.filter(team=None)


class Rulebook(models.Model):
    """
    How one edition of a contest's rules turns a table of marks into a total.

    Frozen once a sheet is written under it: what was scored keeps the rules it was scored by, and
    a change makes a new edition. `calc.scoring.Rules` is the same record without the database.
    """

    class MissingSheet(models.TextChoices):
        NONE = "none", "counts as nothing"
        AVERAGE = "average_remaining", "is replaced by the average of the others"
        REFUSE = "refuse", "leaves the box without a total"

    class DropScope(models.TextChoices):
        NONE = "none", "nothing is dropped"
        SHEET = "sheet", "whole sheets"
        CRITERION = "criterion", "marks, criterion by criterion"

    class Aggregate(models.TextChoices):
        SUM = "sum", "sum"
        MEAN = "mean", "mean"
        MEDIAN = "median", "median"
        CLOSEST_PAIR = "closest_pair", "mean of the two closest"
        RANK_SUM = "rank_sum", "sum of placings"

    class RoundWhere(models.TextChoices):
        DISPLAY = "display", "only where it is shown"
        SHEET = "sheet", "each sheet"
        TOTAL = "total", "the total"

    class Direction(models.TextChoices):
        HIGH = "high", "the most points win"
        LOW = "low", "the fewest points win"

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    team = models.ForeignKey(
        Team, models.CASCADE, null=True, blank=True, editable=False, related_name="rulebooks"
    )
    name = PlainTextField(max_length=80)
    edition = PlainTextField(max_length=40, blank=True, help_text="A year, or 1, 2, 3.")
    source = PlainTextField(max_length=300, blank=True, help_text="Where the rules are written.")
    valid_from = models.DateField(null=True, blank=True)
    valid_to = models.DateField(null=True, blank=True)
    sheets_expected = models.PositiveSmallIntegerField(
        "judges at a table", default=5, validators=[MinValueValidator(1)]
    )
    sheets_least = models.PositiveSmallIntegerField(
        "fewest sheets for a total", default=1, validators=[MinValueValidator(1)]
    )
    missing_sheet = models.CharField(max_length=20, choices=MissingSheet, default=MissingSheet.NONE)
    drop_scope = models.CharField(max_length=10, choices=DropScope, default=DropScope.NONE)
    drop_low = models.PositiveSmallIntegerField("lowest dropped", default=0)
    drop_high = models.PositiveSmallIntegerField("highest dropped", default=0)
    outlier_distance = models.DecimalField(
        "leave out what is further than this from the mean",
        max_digits=9,
        decimal_places=4,
        null=True,
        blank=True,
    )
    aggregate = models.CharField(max_length=12, choices=Aggregate, default=Aggregate.SUM)
    factor = models.DecimalField(max_digits=9, decimal_places=4, default=Decimal(1))
    round_places = models.PositiveSmallIntegerField(default=4)
    round_where = models.CharField(max_length=10, choices=RoundWhere, default=RoundWhere.DISPLAY)
    tie_break = models.JSONField(default=list, blank=True)
    direction = models.CharField(max_length=4, choices=Direction, default=Direction.HIGH)
    penalty_mark = models.DecimalField(max_digits=7, decimal_places=3, null=True, blank=True)
    max_spread = models.DecimalField(
        "judges should lie within", max_digits=7, decimal_places=3, null=True, blank=True
    )
    window_minutes = models.PositiveSmallIntegerField(null=True, blank=True)
    lateness = PlainTextField(max_length=300, blank=True)
    box_rules = PlainTextField("what may be in the box", max_length=1000, blank=True)
    protest_minutes = models.PositiveSmallIntegerField(null=True, blank=True)
    frozen_at = models.DateTimeField(null=True, blank=True, editable=False)

    objects = RulebookQuerySet.as_manager()
    history = HistoricalRecords()

    class Meta:
        ordering = ["name", "edition", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["team", "name", "edition"],
                condition=Q(team__isnull=False),
                name="rulebook_edition_once_a_team",
                violation_error_message="You have this edition already.",
            ),
            models.UniqueConstraint(
                fields=["name", "edition"],
                condition=Q(team=None),
                name="rulebook_shared_edition_once",
            ),
            models.CheckConstraint(
                condition=Q(sheets_least__lte=F("sheets_expected")),
                name="rulebook_least_sheets_within_expected",
                violation_error_message="A total cannot need more sheets than judges are expected.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name} {self.edition}".strip()

    @property
    def is_shared(self) -> bool:
        return self.team_id is None

    def freeze(self) -> None:
        """From now on this edition does not change; saying it again keeps the first moment."""
        if self.frozen_at is None:
            self.frozen_at = timezone.now()
            self.save(update_fields=["frozen_at"])


class CriterionQuerySet(ScopedQuerySet["Criterion"]):
    def for_team(self, team: Any) -> Self:
        return self.filter(Q(rulebook__team=team) | Q(rulebook__team=None))


class Criterion(models.Model):
    """One thing judges mark: its scale and what a point of it is worth."""

    rulebook = models.ForeignKey(Rulebook, models.CASCADE, related_name="criteria")
    panel = PlainTextField(max_length=40, blank=True)
    order = models.PositiveSmallIntegerField()
    key = models.SlugField(max_length=40)
    name = PlainTextField(max_length=60)
    weight = models.DecimalField(max_digits=9, decimal_places=4, default=Decimal(1))
    least = models.DecimalField(max_digits=7, decimal_places=3)
    most = models.DecimalField(max_digits=7, decimal_places=3)
    step = models.DecimalField(max_digits=7, decimal_places=3, null=True, blank=True)

    objects = CriterionQuerySet.as_manager()
    history = HistoricalRecords()

    class Meta:
        ordering = ["rulebook", "order", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["rulebook", "key"], name="criterion_key_once_a_rulebook"
            ),
            models.CheckConstraint(
                condition=Q(least__lt=F("most")),
                name="criterion_least_below_most",
                violation_error_message="The lowest mark must be below the highest.",
            ),
        ]

    def __str__(self) -> str:
        return self.name
