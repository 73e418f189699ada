from uuid import uuid4

from django.db import models

from teamops.teams.fields import PlainTextField
from teamops.teams.models.team import Team
from teamops.teams.models.user import User
from teamops.teams.scoping import ScopedQuerySet


class ImportBatch(models.Model):
    """
    One file or pasted text brought in: read, looked through, taken in whole, perhaps undone.

    `cells` are its rows as text, `columns` say what each column means. `done` of `rows` tell how
    far it is. `said` is what became of it, in words and numbers; `made` are the ids of what it
    created, by kind, which undoing takes away again.
    """

    class State(models.TextChoices):
        READ = "read", "to be looked through"
        QUEUED = "queued", "waiting its turn"
        RUNNING = "running", "being taken in"
        DONE = "done", "taken in"
        FAILED = "failed", "not taken in"
        UNDONE = "undone", "undone"

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    team = models.ForeignKey(Team, models.CASCADE, editable=False, related_name="imports")
    name = PlainTextField(max_length=200)
    state = models.CharField(max_length=8, choices=State, default=State.READ, editable=False)
    cells = models.JSONField(default=list, editable=False)
    columns = models.JSONField(default=dict, blank=True)
    rows = models.PositiveIntegerField(default=0, editable=False)
    done = models.PositiveIntegerField(default=0, editable=False)
    said = models.JSONField(default=dict, blank=True, editable=False)
    made = models.JSONField(default=dict, blank=True, editable=False)
    brought_by = models.ForeignKey(User, models.PROTECT, editable=False, related_name="+")
    brought_at = models.DateTimeField(auto_now_add=True)
    finished_at = models.DateTimeField(null=True, blank=True, editable=False)
    undone_at = models.DateTimeField(null=True, blank=True, editable=False)
    undone_by = models.ForeignKey(
        User, models.PROTECT, null=True, blank=True, editable=False, related_name="+"
    )

    objects = ScopedQuerySet["ImportBatch"].as_manager()

    class Meta:
        ordering = ["-brought_at", "pk"]

    def __str__(self) -> str:
        return self.name


class ColumnMap(models.Model):
    """What the columns of a file meant the last time: offered for one with the same headings."""

    team = models.ForeignKey(Team, models.CASCADE, editable=False, related_name="column_maps")
    headings = models.CharField(max_length=64, editable=False)  # a hash of them
    columns = models.JSONField(default=dict)
    used_at = models.DateTimeField(auto_now=True)

    objects = ScopedQuerySet["ColumnMap"].as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["team", "headings"], name="columnmap_once_for_the_headings"
            )
        ]

    def __str__(self) -> str:
        return self.headings[:8]
