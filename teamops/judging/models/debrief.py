from uuid import uuid4

from django.db import models

from teamops.contests.models import Contest, Task
from teamops.judging.models.change import Change
from teamops.teams.fields import PlainTextField
from teamops.teams.models import User
from teamops.teams.scoping import ScopedQuerySet
from teamops.teams.versions import Versioned


class DebriefQuerySet(ScopedQuerySet["Debrief"]):
    team_path = "contest__team"


class Debrief(Versioned):
    """What the team says of a contest that night, in its own words."""

    contest = models.OneToOneField(
        Contest, models.CASCADE, primary_key=True, editable=False, related_name="debrief"
    )
    happened = PlainTextField("what happened", max_length=4000, blank=True)
    keep = PlainTextField("what to keep", max_length=2000, blank=True)
    change = PlainTextField("what to change", max_length=2000, blank=True)

    objects = DebriefQuerySet.as_manager()

    def __str__(self) -> str:
        return f"Debrief of {self.contest}"


class OpenPointQuerySet(ScopedQuerySet["OpenPoint"]):
    team_path = "contest__team"


class OpenPoint(models.Model):
    """A point a debrief left open, until it becomes a to-do, a dated change, or nothing."""

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    contest = models.ForeignKey(Contest, models.CASCADE, editable=False, related_name="open_points")
    words = PlainTextField("point", max_length=300)
    task = models.ForeignKey(
        Task, models.SET_NULL, null=True, blank=True, editable=False, related_name="+"
    )
    change = models.ForeignKey(
        Change, models.SET_NULL, null=True, blank=True, editable=False, related_name="+"
    )
    dropped_at = models.DateTimeField(null=True, blank=True, editable=False)
    made_by = models.ForeignKey(User, models.PROTECT, editable=False, related_name="+")

    objects = OpenPointQuerySet.as_manager()

    class Meta:
        ordering = ["contest", "pk"]

    def __str__(self) -> str:
        return self.words
