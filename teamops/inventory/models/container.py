from uuid import uuid4

from django.core.validators import MaxValueValidator
from django.db import models

from teamops.teams.fields import PlainTextField
from teamops.teams.models import Team
from teamops.teams.scoping import ScopedQuerySet


class Container(models.Model):
    """A tote, a cold box, or a place in the vehicle: where things ride, and are looked for."""

    class Kind(models.TextChoices):
        """What is kept apart: raw food, chemicals and fuel never ride with anything else."""

        GEAR = "gear", "gear and dry goods"
        READY = "ready", "ready food and drinking water"
        RAW = "raw", "raw food only"
        CHEMICAL = "chemical", "chemicals only"
        FUEL = "fuel", "fuel and gas only"

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    team = models.ForeignKey(Team, models.CASCADE, editable=False, related_name="containers")
    name = PlainTextField(max_length=60)
    kind = models.CharField("what rides in it", max_length=8, choices=Kind, default=Kind.GEAR)
    whole = models.BooleanField(
        "lifted in one piece",
        default=True,
        help_text="A tote is. Untick a place, such as the truck floor, where things lie singly.",
    )
    order = models.PositiveSmallIntegerField(
        default=0,
        validators=[MaxValueValidator(9_999)],
        help_text="Its turn on the packing list: low numbers first.",
    )

    objects = ScopedQuerySet["Container"].as_manager()

    class Meta:
        ordering = ["order", "name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["team", "name"],
                name="container_name_once_a_team",
                violation_error_message="You have a container of this name already.",
            )
        ]

    def __str__(self) -> str:
        return self.name
