from uuid import uuid4

from django.core.validators import MinValueValidator
from django.db import models
from simple_history.models import HistoricalRecords

from teamops.contests.models import Entry
from teamops.rules.models import Criterion
from teamops.teams.fields import PlainTextField
from teamops.teams.models import User
from teamops.teams.scoping import ScopedQuerySet


class ScoreSheetQuerySet(ScopedQuerySet["ScoreSheet"]):
    team_path = "entry__contest__team"


class ScoreSheet(models.Model):
    """
    One judge's paper for one box: a mark a criterion, or only the total the organiser gave.

    `position` is its place in the envelope as typed; `seat` is what the paper calls the judge, a
    number or a letter. Two papers may say the same seat: that is kept, and pointed out.
    """

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    entry = models.ForeignKey(Entry, models.CASCADE, editable=False, related_name="sheets")
    round = PlainTextField(max_length=40, blank=True)
    panel = PlainTextField(max_length=40, blank=True)
    table = PlainTextField(max_length=20, blank=True)
    position = models.PositiveSmallIntegerField(editable=False, validators=[MinValueValidator(1)])
    seat = PlainTextField(max_length=10, blank=True)
    given_total = models.DecimalField(
        "the judge's total, as given", max_digits=10, decimal_places=4, null=True, blank=True
    )
    co_judged = models.BooleanField("two judges signed it", default=False)
    comment = PlainTextField(max_length=500, blank=True)
    recorded_by = models.ForeignKey(User, models.PROTECT, editable=False, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    objects = ScoreSheetQuerySet.as_manager()
    history = HistoricalRecords()

    class Meta:
        ordering = ["entry", "position", "pk"]

    def __str__(self) -> str:
        return f"Judge {self.seat or self.position}"


class MarkQuerySet(ScopedQuerySet["Mark"]):
    team_path = "sheet__entry__contest__team"


class Mark(models.Model):
    """One number on one sheet, or a blank; `said` is what the paper says where it is odd."""

    sheet = models.ForeignKey(ScoreSheet, models.CASCADE, editable=False, related_name="marks")
    criterion = models.ForeignKey(Criterion, models.RESTRICT, related_name="+")
    points = models.DecimalField(max_digits=7, decimal_places=3, null=True, blank=True)
    said = PlainTextField("as the paper says it", max_length=40, blank=True)

    objects = MarkQuerySet.as_manager()
    history = HistoricalRecords()

    class Meta:
        ordering = ["sheet", "criterion__order", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["sheet", "criterion"], name="mark_once_a_criterion")
        ]

    def __str__(self) -> str:
        return "blank" if self.points is None else f"{self.points.normalize():f}"


class CriterionTotalQuerySet(ScopedQuerySet["CriterionTotal"]):
    team_path = "entry__contest__team"


class CriterionTotal(models.Model):
    """What an organiser gave for one criterion of an entry, where the sheets were not shown."""

    entry = models.ForeignKey(
        Entry, models.CASCADE, editable=False, related_name="criterion_totals"
    )
    criterion = models.ForeignKey(Criterion, models.RESTRICT, related_name="+")
    points = models.DecimalField(max_digits=10, decimal_places=4, null=True, blank=True)

    objects = CriterionTotalQuerySet.as_manager()
    history = HistoricalRecords()

    class Meta:
        ordering = ["entry", "criterion__order", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["entry", "criterion"], name="criteriontotal_once_a_criterion"
            )
        ]

    def __str__(self) -> str:
        return f"{self.criterion}: {self.points}"
