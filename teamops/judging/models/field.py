from uuid import uuid4

from django.core.validators import MinValueValidator
from django.db import models

from teamops.contests.models import Category, Contest, Entry
from teamops.teams.fields import PlainTextField
from teamops.teams.models import User
from teamops.teams.scoping import ScopedQuerySet


class PostingQuerySet(ScopedQuerySet["Posting"]):
    team_path = "contest__team"


class Posting(models.Model):
    """
    What an organiser posted for a category, on one day.

    A later one corrects it and replaces nothing: the newest is what holds.

    `text` is the post as pasted; its lines are what was read from it.
    """

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    contest = models.ForeignKey(Contest, models.CASCADE, editable=False, related_name="postings")
    category = models.ForeignKey(Category, models.CASCADE, related_name="postings")
    round = PlainTextField(max_length=40, blank=True)
    posted_on = models.DateField("posted on")
    note = PlainTextField("why it came, or where from", max_length=200, blank=True)
    text = PlainTextField("as it was posted", max_length=100_000, blank=True)
    recorded_by = models.ForeignKey(User, models.PROTECT, editable=False, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    objects = PostingQuerySet.as_manager()

    class Meta:
        ordering = ["posted_on", "recorded_at", "pk"]

    def __str__(self) -> str:
        return f"{self.category} as posted on {self.posted_on}"


class FieldLineQuerySet(ScopedQuerySet["FieldLine"]):
    team_path = "posting__contest__team"


class FieldLine(models.Model):
    """One entry of the field as posted; ours are tied to our entry.

    `parts` holds the other numbers of its line by column name, as text. `sheets` are its judges'
    sheets where we were shown them: for each judge, the marks by criterion key, as text.
    """

    posting = models.ForeignKey(Posting, models.CASCADE, editable=False, related_name="lines")
    order = models.PositiveSmallIntegerField()
    placing = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1)]
    )
    name = PlainTextField(max_length=120, blank=True)
    number = PlainTextField(max_length=20, blank=True)
    table = PlainTextField(max_length=20, blank=True)
    total = models.DecimalField(max_digits=10, decimal_places=4, null=True, blank=True)
    parts = models.JSONField(default=dict, blank=True)
    sheets = models.JSONField(default=list, blank=True)
    note = PlainTextField(max_length=80, blank=True)
    entry = models.ForeignKey(
        Entry, models.SET_NULL, null=True, blank=True, related_name="field_lines"
    )

    objects = FieldLineQuerySet.as_manager()

    class Meta:
        ordering = ["posting", "order", "pk"]

    def __str__(self) -> str:
        return f"{self.placing or '–'} {self.name}".strip()


class CorrectionQuerySet(ScopedQuerySet["Correction"]):
    team_path = "entry__contest__team"


class Correction(models.Model):
    """Something official about an entry that was put right later: what, why and by whom."""

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    entry = models.ForeignKey(Entry, models.CASCADE, editable=False, related_name="corrections")
    corrected_on = models.DateField("corrected on")
    what = PlainTextField("what was corrected", max_length=500, editable=False)
    why = PlainTextField(max_length=300, blank=True)
    recorded_by = models.ForeignKey(User, models.PROTECT, editable=False, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    objects = CorrectionQuerySet.as_manager()

    class Meta:
        ordering = ["corrected_on", "recorded_at", "pk"]

    def __str__(self) -> str:
        return self.what
