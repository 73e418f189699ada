from uuid import uuid4

from django.db import models
from django.db.models import F, Q

from teamops.teams.fields import PlainTextField
from teamops.teams.models import Team
from teamops.teams.scoping import ScopedQuerySet


class Trip(models.Model):
    """One load and one drive. A lone contest makes its own; a double Saturday shares one."""

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    team = models.ForeignKey(Team, models.CASCADE, editable=False, related_name="trips")
    name = PlainTextField(max_length=120)
    leaves_on = models.DateField(null=True, blank=True)
    home_on = models.DateField(null=True, blank=True)

    objects = ScopedQuerySet["Trip"].as_manager()

    class Meta:
        ordering = [F("leaves_on").asc(nulls_last=True), "name", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(leaves_on=None) | Q(home_on=None) | Q(leaves_on__lte=F("home_on")),
                name="trip_leaves_before_home",
                violation_error_message="A trip must leave before it comes home.",
            )
        ]

    def __str__(self) -> str:
        return self.name
