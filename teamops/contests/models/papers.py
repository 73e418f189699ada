from uuid import uuid4

from django.db import models
from django.db.models import F, Q
from simple_history.models import HistoricalRecords

from teamops.teams.fields import PlainTextField
from teamops.teams.models import Team, User
from teamops.teams.scoping import ScopedQuerySet


class TeamPaper(models.Model):
    """Something an organiser or inspector asks to see, and until when it holds."""

    class Kind(models.TextChoices):
        MEMBERSHIP = "member", "membership number"
        FOOD_HANDLER = "food", "food-handler card"
        INSURANCE = "insure", "insurance"
        EXTINGUISHER = "exting", "extinguisher tag"
        CANOPY = "canopy", "canopy label"
        PLATES = "plates", "trailer plates"
        OTHER = "other", "something else"

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    team = models.ForeignKey(Team, models.CASCADE, editable=False, related_name="papers")
    kind = models.CharField(max_length=6, choices=Kind, default=Kind.FOOD_HANDLER)
    name = PlainTextField("of what, or with whom", max_length=120, blank=True)
    holder = models.ForeignKey(
        User, models.PROTECT, null=True, blank=True, related_name="+", verbose_name="whose"
    )
    number = PlainTextField(max_length=60, blank=True)
    issued_on = models.DateField("from", null=True, blank=True)
    expires_on = models.DateField("holds until", null=True, blank=True)
    note = PlainTextField(max_length=300, blank=True)

    objects = ScopedQuerySet["TeamPaper"].as_manager()
    history = HistoricalRecords()

    class Meta:
        ordering = [F("expires_on").asc(nulls_last=True), "kind", "name", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(issued_on=None)
                | Q(expires_on=None)
                | Q(issued_on__lte=F("expires_on")),
                name="teampaper_starts_before_it_ends",
                violation_error_message="It must start before it ends.",
            )
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.name}".strip()
