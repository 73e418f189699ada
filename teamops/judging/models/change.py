from datetime import date
from uuid import uuid4

from django.db import models
from simple_history.models import HistoricalRecords

from teamops.contests.models import Category, Contest
from teamops.teams.fields import PlainTextField
from teamops.teams.models import Team
from teamops.teams.scoping import ScopedQuerySet


class Change(models.Model):
    """
    Something the team does differently from a day on: kept beside the scores it may explain.

    It is about one category, or about every box. `uses` say it otherwise for single contests, past
    or coming.
    """

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    team = models.ForeignKey(Team, models.CASCADE, editable=False, related_name="changes")
    what = PlainTextField(max_length=120)
    starts_on = models.DateField("from")
    ends_on = models.DateField("until", null=True, blank=True)
    category = models.ForeignKey(
        Category, models.RESTRICT, null=True, blank=True, related_name="changes"
    )
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

    def by_its_days(self, day: date) -> bool:
        """Whether it was so on this day, where no contest says otherwise."""
        return self.starts_on <= day and (self.ends_on is None or day <= self.ends_on)


class ChangeUseQuerySet(ScopedQuerySet["ChangeUse"]):
    team_path = "change__team"


class ChangeUse(models.Model):
    """Whether a change was on at one contest, or is to be on: goes over the change's own days."""

    change = models.ForeignKey(Change, models.CASCADE, editable=False, related_name="uses")
    contest = models.ForeignKey(Contest, models.CASCADE, editable=False, related_name="+")
    on = models.BooleanField("with the change")

    objects = ChangeUseQuerySet.as_manager()
    history = HistoricalRecords()

    class Meta:
        ordering = ["change", "contest"]
        constraints = [
            models.UniqueConstraint(fields=["change", "contest"], name="changeuse_once_a_contest")
        ]

    def __str__(self) -> str:
        return f"{self.change} {'on' if self.on else 'off'} at {self.contest}"
