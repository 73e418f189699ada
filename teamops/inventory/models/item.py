from decimal import Decimal
from uuid import uuid4

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import Q

from teamops.inventory.models.container import Container
from teamops.teams.fields import PlainTextField
from teamops.teams.models import Team
from teamops.teams.scoping import ScopedQuerySet
from teamops.teams.versions import Versioned


class Item(Versioned):
    """Something the team owns or uses up, and what one of it weighs."""

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    team = models.ForeignKey(Team, models.CASCADE, editable=False, related_name="items")
    name = PlainTextField(max_length=80)
    group = PlainTextField(max_length=40, help_text="What it belongs to, such as cooking gear.")
    unit = PlainTextField(
        "counted in",
        max_length=20,
        default="each",
        help_text="Each, pair, roll, lb, gal and so on.",
    )
    consumable = models.BooleanField("gets used up", default=False)
    mass_kg = models.DecimalField(
        max_digits=12, decimal_places=6, default=Decimal(0), validators=[MinValueValidator(0)]
    )
    container = models.ForeignKey(
        Container, models.SET_NULL, null=True, blank=True, related_name="items"
    )
    note = PlainTextField(max_length=500, blank=True)

    objects = ScopedQuerySet["Item"].as_manager()

    class Meta:
        ordering = ["group", "name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["team", "name"],
                name="item_name_once_a_team",
                violation_error_message="You have an item of this name already.",
            ),
            models.CheckConstraint(
                condition=Q(mass_kg__gte=0),
                name="item_mass_not_negative",
                violation_error_message="A weight cannot be negative.",
            ),
        ]

    def __str__(self) -> str:
        return self.name
