from uuid import uuid4

from django.db import models
from django.db.models import Q

from teamops.contests.models.contest import Contest
from teamops.contests.models.entry import Entry
from teamops.teams.fields import PlainTextField
from teamops.teams.models import User
from teamops.teams.scoping import ScopedQuerySet


class MeetingWordQuerySet(ScopedQuerySet["MeetingWord"]):
    team_path = "contest__team"


class MeetingWord(models.Model):
    """
    One line of the cooks' meeting, confirmed or changed: written once, never rewritten.

    `line` names what was said (a field of the contest, or `window` with its entry); the newest
    word on a line is what holds.
    """

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    contest = models.ForeignKey(Contest, models.CASCADE, editable=False, related_name="words")
    entry = models.ForeignKey(
        Entry, models.CASCADE, null=True, blank=True, editable=False, related_name="words"
    )
    line = PlainTextField(max_length=30)
    changed = models.BooleanField(default=False)
    before = PlainTextField(max_length=500, blank=True)
    after = PlainTextField(max_length=500, blank=True)
    said_by = models.ForeignKey(User, models.PROTECT, editable=False, related_name="+")
    said_at = models.DateTimeField(editable=False)

    objects = MeetingWordQuerySet.as_manager()

    class Meta:
        ordering = ["said_at", "pk"]

    def __str__(self) -> str:
        return f"{self.line}: {self.after or 'confirmed'}"


class LidCheckQuerySet(ScopedQuerySet["LidCheck"]):
    team_path = "entry__contest__team"


class LidCheck(models.Model):
    """A look at the box before its lid closes: each question with its answer, who and when."""

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    entry = models.ForeignKey(Entry, models.CASCADE, editable=False, related_name="lid_checks")
    answers = models.JSONField(default=list, blank=True)  # [{"key", "asked", "right": true|false}]
    all_right = models.BooleanField(default=False)
    note = PlainTextField(max_length=200, blank=True)
    checked_by = models.ForeignKey(User, models.PROTECT, editable=False, related_name="+")
    checked_at = models.DateTimeField(editable=False)

    objects = LidCheckQuerySet.as_manager()

    class Meta:
        ordering = ["checked_at", "pk"]

    def __str__(self) -> str:
        return f"Box check for {self.entry}"


class ProtestQuerySet(ScopedQuerySet["Protest"]):
    team_path = "entry__contest__team"


class Protest(models.Model):
    """A protest about an entry: why, when, and what came of it."""

    class Outcome(models.TextChoices):
        OPEN = "", "not decided"
        UPHELD = "upheld", "upheld"
        DENIED = "denied", "turned down"
        WITHDRAWN = "withdrawn", "withdrawn"

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    entry = models.ForeignKey(Entry, models.CASCADE, editable=False, related_name="protests")
    reason = PlainTextField(max_length=500)
    lodged_at = models.DateTimeField("lodged")
    lodged_by = models.ForeignKey(User, models.PROTECT, editable=False, related_name="+")
    outcome = models.CharField(max_length=9, choices=Outcome, default=Outcome.OPEN, blank=True)
    outcome_note = PlainTextField("what came of it", max_length=500, blank=True)
    decided_at = models.DateTimeField(null=True, blank=True)

    objects = ProtestQuerySet.as_manager()

    class Meta:
        ordering = ["lodged_at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(outcome="", decided_at=None) | ~Q(outcome=""),
                name="protest_decided_has_an_outcome",
            )
        ]

    def __str__(self) -> str:
        return f"Protest about {self.entry}"
