from decimal import Decimal
from typing import Any, Self

from django.db import models
from django.db.models import F, Q
from simple_history.models import HistoricalRecords

from teamops.rules.models.rulebook import Rulebook
from teamops.teams.fields import PlainTextField
from teamops.teams.scoping import ScopedQuerySet


class CriterionQuerySet(ScopedQuerySet["Criterion"]):
    def for_team(self, team: Any) -> Self:
        return self.filter(Q(rulebook__team=team) | Q(rulebook__team=None))


class Criterion(models.Model):
    """One thing judges mark: its scale and what a point of it is worth.

    A scale may be open at either end; without a `most` no points can be called lost.
    """

    rulebook = models.ForeignKey(Rulebook, models.CASCADE, related_name="criteria")
    panel = PlainTextField(max_length=40, blank=True)
    order = models.PositiveSmallIntegerField()
    key = models.SlugField(max_length=40)
    name = PlainTextField(max_length=60)
    weight = models.DecimalField(max_digits=9, decimal_places=4, default=Decimal(1))
    least = models.DecimalField(max_digits=7, decimal_places=3, null=True, blank=True)
    most = models.DecimalField(max_digits=7, decimal_places=3, null=True, blank=True)
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
                condition=Q(least=None) | Q(most=None) | Q(least__lt=F("most")),
                name="criterion_least_below_most",
                violation_error_message="The lowest mark must be below the highest.",
            ),
        ]

    def __str__(self) -> str:
        return self.name
