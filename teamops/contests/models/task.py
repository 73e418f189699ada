from typing import Self
from uuid import uuid4

from django.db import models
from django.db.models import F, Q

from teamops.contests.models.contest import Contest
from teamops.contests.models.entry import Entry
from teamops.teams.fields import PlainTextField
from teamops.teams.models import User
from teamops.teams.scoping import ScopedQuerySet


class Anchor(models.TextChoices):
    """What a to-do's day is counted from."""

    NONE = "", "a day of its own"
    TRIP = "trip", "leaving"
    ARRIVAL = "arrival", "arriving"
    TURN_IN = "turn_in", "the turn-in"
    HOME = "home", "being home again"


class TaskQuerySet(ScopedQuerySet["Task"]):
    team_path = "contest__team"

    def dated(self) -> Self:
        """Things for the to-do list."""
        return self.filter(due_on__isnull=False)

    def steps(self) -> Self:
        """Things for the day itself, counted back from the turn-in."""
        return self.filter(minutes_before__isnull=False)


class Task(models.Model):
    """
    Something to get done: by a day before the contest, or so many minutes before the turn-in.

    A dated one may hang on an anchor, and moves with it. `done_as` is who ticked it through a
    link, without an account: `done_by` is then who gave the link.
    """

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    contest = models.ForeignKey(Contest, models.CASCADE, editable=False, related_name="tasks")
    entry = models.ForeignKey(
        Entry,
        models.CASCADE,
        null=True,
        blank=True,
        related_name="tasks",
        help_text="Leave open if it serves every box.",
    )
    checklist = PlainTextField(max_length=80, blank=True)
    anchor = models.CharField(
        "counted from", max_length=7, choices=Anchor, default=Anchor.NONE, blank=True
    )
    offset_days = models.SmallIntegerField(
        "days after it, or before with a minus", null=True, blank=True
    )
    due_at = models.TimeField("at", null=True, blank=True)
    title = PlainTextField("what", max_length=120)
    due_on = models.DateField("by", null=True, blank=True)
    minutes_before = models.PositiveSmallIntegerField(
        "minutes before turn-in", null=True, blank=True
    )
    person = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")
    target_c = models.DecimalField(
        "target temperature", max_digits=7, decimal_places=4, null=True, blank=True
    )
    caution = PlainTextField(max_length=200, blank=True)
    note = PlainTextField(max_length=500, blank=True)
    done_at = models.DateTimeField(null=True, blank=True, editable=False)
    done_by = models.ForeignKey(
        User, models.PROTECT, null=True, blank=True, editable=False, related_name="+"
    )
    done_as = PlainTextField(max_length=80, blank=True, editable=False)

    objects = TaskQuerySet.as_manager()

    class Meta:
        ordering = [
            F("due_on").asc(nulls_last=True),
            F("minutes_before").desc(nulls_last=True),
            "title",
            "pk",
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(due_on=None, minutes_before__isnull=False)
                | Q(due_on__isnull=False, minutes_before=None),
                name="task_is_dated_or_counted_back",
                violation_error_message="Give a day, or minutes before the turn-in: one of them.",
            ),
            models.CheckConstraint(
                condition=Q(done_at=None, done_by=None)
                | Q(done_at__isnull=False, done_by__isnull=False),
                name="task_done_is_who_and_when",
            ),
            models.CheckConstraint(
                condition=Q(anchor="", offset_days=None)
                | Q(due_on__isnull=False, offset_days__isnull=False) & ~Q(anchor=""),
                name="task_hangs_on_an_anchor_by_days",
            ),
        ]

    def __str__(self) -> str:
        return self.title
