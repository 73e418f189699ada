from typing import Self

from django.db import models
from simple_history.models import HistoricalRecords

from teamops.contests.models import Entry
from teamops.rules.models import Criterion
from teamops.teams.fields import PlainTextField
from teamops.teams.scoping import ScopedQuerySet
from teamops.teams.versions import Versioned


class ResultQuerySet(ScopedQuerySet["Result"]):
    team_path = "entry__contest__team"

    def with_marks(self) -> Self:
        return self.filter(basis=Result.Basis.MARKS)


class Result(Versioned):
    """
    What an entry's papers add up to: worked out when they are saved, read by every page.

    `version` counts the saves of the entry's score table, so two people typing the same
    envelope see each other; 0 is before the first. `saved_op` is the page that saved last: the
    same page sent twice is known by it. `manage.py rescore` works all of them out anew.

    `docked` is what the organiser took off; the total is without it. `round` names the round whose
    total this is, where there were several.
    """

    class Basis(models.TextChoices):
        NONE = "none", "nothing yet"
        MARKS = "marks", "every judge's marks"
        JUDGE_TOTALS = "judge_totals", "a total from each judge"
        CRITERION_TOTALS = "criteria", "a total for each criterion"
        TOTAL = "total", "one total"
        PLACING = "placing", "a placing only"

    entry = models.OneToOneField(
        Entry, models.CASCADE, primary_key=True, editable=False, related_name="result"
    )
    basis = models.CharField(max_length=12, choices=Basis, default=Basis.NONE)
    total = models.DecimalField("our total", max_digits=15, decimal_places=6, null=True, blank=True)
    most = models.DecimalField("a full box", max_digits=15, decimal_places=6, null=True, blank=True)
    sheets = models.PositiveSmallIntegerField(default=0)
    sheets_counted = models.PositiveSmallIntegerField(default=0)
    lost_to_rounding = models.DecimalField(
        "what only the rulebook's rounding took", max_digits=15, decimal_places=6, default=0
    )
    docked = models.DecimalField(
        "taken off for lateness", max_digits=15, decimal_places=6, default=0
    )
    round = PlainTextField("the deciding round", max_length=40, blank=True)
    flags = models.JSONField(default=list, blank=True)
    scored_at = models.DateTimeField(auto_now=True)
    saved_at = models.DateTimeField(null=True, blank=True, editable=False)
    saved_op = models.UUIDField(null=True, blank=True, editable=False)

    objects = ResultQuerySet.as_manager()
    history = HistoricalRecords()

    def __str__(self) -> str:
        return f"Result of {self.entry}"


class CriterionResultQuerySet(ScopedQuerySet["CriterionResult"]):
    team_path = "result__entry__contest__team"


class CriterionResult(models.Model):
    """
    One criterion's share of a result.

    `earned` and `lost` are in points of the total, over the sheets that count, and add up to
    `most`; the losses of all criteria, the result's `lost_to_rounding` and what was `docked` add up
    to exactly its `most` less its `total`. Where losses cannot be told, `most` and `lost` are empty
    and a flag of the result says why. `mean` is over every sheet of `judges` judges, dropped ones
    too, in marks: what the analysis reads.
    """

    result = models.ForeignKey(Result, models.CASCADE, editable=False, related_name="criteria")
    criterion = models.ForeignKey(Criterion, models.RESTRICT, related_name="+")
    earned = models.DecimalField(max_digits=15, decimal_places=6, null=True, blank=True)
    most = models.DecimalField(max_digits=15, decimal_places=6, null=True, blank=True)
    lost = models.DecimalField(max_digits=15, decimal_places=6, null=True, blank=True)
    mean = models.DecimalField(max_digits=15, decimal_places=6, null=True, blank=True)
    judges = models.PositiveSmallIntegerField(default=0)

    objects = CriterionResultQuerySet.as_manager()

    class Meta:
        ordering = ["result", "criterion__order", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["result", "criterion"], name="criterionresult_once_a_criterion"
            )
        ]

    def __str__(self) -> str:
        return f"{self.criterion}: {self.earned}"
