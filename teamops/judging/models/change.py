from uuid import uuid4

from django.db import models
from simple_history.models import HistoricalRecords

from teamops.teams.fields import PlainTextField
from teamops.teams.models import Team
from teamops.teams.scoping import ScopedQuerySet


class Change(models.Model):
    """Something the team does differently from a day on: kept beside the scores it may explain."""

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    team = models.ForeignKey(Team, models.CASCADE, editable=False, related_name="changes")
    what = PlainTextField(max_length=120)
    starts_on = models.DateField("from")
    ends_on = models.DateField("until", null=True, blank=True)
    note = PlainTextField(max_length=1000, blank=True)

    objects = ScopedQuerySet["Change"].as_manager()
    history = HistoricalRecords()

    class Meta:
        ordering = ["starts_on", "what", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(ends_on=None) | models.Q(starts_on__lte=models.F("ends_on")),
                name="change_starts_before_it_ends",
                violation_error_message="A change must start before it ends.",
            )
        ]

    def __str__(self) -> str:
        return self.what
