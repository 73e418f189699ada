from decimal import Decimal
from typing import Any, Self
from uuid import uuid4

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils import timezone
from simple_history.models import HistoricalRecords

from teamops.teams.fields import PlainTextField
from teamops.teams.models import Team
from teamops.teams.scoping import ScopedQuerySet


def known_panels(value: Any) -> None:
    """Refuse panels that are not a list of names with how many sheets are due and needed."""
    for panel in value if isinstance(value, list) else [None]:
        match panel:
            case {"name": str(name), "expected": int(due), "least": int(least)}:
                if name and 1 <= least <= due:
                    continue
        raise ValidationError(
            "Each panel needs a name, its judges, and no more sheets for a total than judges."
        )


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

    Editions of one book share a `family`, and each says which it `follows`. A book with an
    `exception_why` is one contest's departure from the book it follows: offered there only.
    `panels` is only filled where panels differ in their judges: name, expected, least of each.
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

    class PlaceMethod(models.TextChoices):
        SKIP = "skip", "the next place is left out: 1, 2, 2, 4"
        DENSE = "dense", "no place is left out: 1, 2, 2, 3"

    class Rounds(models.TextChoices):
        LAST = "last", "the last round alone decides"
        ADD = "add", "the rounds are added up"

    class Late(models.TextChoices):
        """What happens to a box that comes after the window."""

        UNKNOWN = "", "not said"
        TAKEN = "taken", "is judged all the same"
        DOCKED = "docked", "loses points"
        ZERO = "zero", "counts as zero"
        OUT = "out", "is not judged"

    class Allowed(models.TextChoices):
        """Whether something may be in the box."""

        UNKNOWN = "", "not said"
        NO = "no", "not allowed"
        MAY = "may", "allowed"
        MUST = "must", "required"

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    team = models.ForeignKey(
        Team, models.CASCADE, null=True, blank=True, editable=False, related_name="rulebooks"
    )
    family = models.UUIDField(default=uuid4, editable=False, db_index=True)
    follows = models.ForeignKey(
        "self", models.RESTRICT, null=True, blank=True, editable=False, related_name="followed_by"
    )
    exception_why = PlainTextField("why it differs at this contest", max_length=300, blank=True)
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
    round_places = models.PositiveSmallIntegerField(
        "decimal places", default=4, validators=[MaxValueValidator(6)]
    )
    round_where = models.CharField(max_length=10, choices=RoundWhere, default=RoundWhere.DISPLAY)
    tie_break = models.JSONField(default=list, blank=True)
    direction = models.CharField(max_length=4, choices=Direction, default=Direction.HIGH)
    place_method = models.CharField(max_length=5, choices=PlaceMethod, default=PlaceMethod.SKIP)
    rounds = models.CharField(max_length=4, choices=Rounds, default=Rounds.LAST)
    panels = models.JSONField(default=list, blank=True, validators=[known_panels])
    penalty_mark = models.DecimalField(max_digits=7, decimal_places=3, null=True, blank=True)
    max_spread = models.DecimalField(
        "judges should lie within", max_digits=7, decimal_places=3, null=True, blank=True
    )
    window_minutes = models.PositiveSmallIntegerField(null=True, blank=True)
    late = models.CharField(
        "a late box", max_length=6, choices=Late, default=Late.UNKNOWN, blank=True
    )
    late_grace_seconds = models.PositiveSmallIntegerField("seconds of grace", null=True, blank=True)
    late_points = models.DecimalField(
        "points a late box loses",
        max_digits=9,
        decimal_places=4,
        null=True,
        blank=True,
        validators=[MinValueValidator(0, "Points taken off cannot be negative.")],
    )
    lateness = PlainTextField("more about lateness", max_length=300, blank=True)
    piece = PlainTextField("the right piece", max_length=120, blank=True)
    pieces_least = models.PositiveSmallIntegerField("fewest pieces", null=True, blank=True)
    pieces_most = models.PositiveSmallIntegerField("most pieces", null=True, blank=True)
    garnish = models.CharField(max_length=4, choices=Allowed, default=Allowed.UNKNOWN, blank=True)
    garnish_words = PlainTextField("which garnish", max_length=200, blank=True)
    sauce = models.CharField(max_length=4, choices=Allowed, default=Allowed.UNKNOWN, blank=True)
    sauce_words = PlainTextField("which sauce, and how", max_length=200, blank=True)
    box_rules = PlainTextField("what may be in the box", max_length=1000, blank=True)
    protest_minutes = models.PositiveSmallIntegerField(null=True, blank=True)
    frozen_at = models.DateTimeField(null=True, blank=True, editable=False)
    put_away_at = models.DateTimeField(null=True, blank=True, editable=False)  # no longer offered

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
            models.CheckConstraint(
                condition=Q(pieces_least=None)
                | Q(pieces_most=None)
                | Q(pieces_least__lte=F("pieces_most")),
                name="rulebook_fewest_pieces_within_most",
                violation_error_message="The fewest pieces must not be above the most.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name} {self.edition}".strip()

    @property
    def is_shared(self) -> bool:
        return self.team_id is None

    @property
    def is_exception(self) -> bool:
        return bool(self.exception_why)

    def freeze(self) -> None:
        """From now on this edition does not change; saying it again keeps the first moment."""
        if self.frozen_at is None:
            self.frozen_at = timezone.now()
            self.save(update_fields=["frozen_at"])
