from decimal import Decimal
from uuid import uuid4

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import Q

from teamops.calc.demand import Condition, DemandRule
from teamops.inventory.models.item import Item
from teamops.inventory.words import say_amount
from teamops.teams.fields import PlainTextField
from teamops.teams.models import Team
from teamops.teams.scoping import ScopedQuerySet

LEAST_QUANTITY = Decimal("0.0001")


class Kit(models.Model):
    """A set of things that go together, such as all that a steak contest takes."""

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    team = models.ForeignKey(Team, models.CASCADE, editable=False, related_name="kits")
    name = PlainTextField(max_length=60)

    objects = ScopedQuerySet["Kit"].as_manager()

    class Meta:
        ordering = ["name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["team", "name"],
                name="kit_name_once_a_team",
                violation_error_message="You have a kit of this name already.",
            )
        ]

    def __str__(self) -> str:
        return self.name


class KitLineQuerySet(ScopedQuerySet["KitLine"]):
    team_path = "kit__team"


class KitLine(models.Model):
    """How much of an item a kit takes: so many for each of something, if something is so."""

    kit = models.ForeignKey(Kit, models.CASCADE, related_name="lines")
    item = models.ForeignKey(Item, models.CASCADE, related_name="kit_lines")
    quantity = models.DecimalField(
        "bring",
        max_digits=9,
        decimal_places=4,
        default=Decimal(1),
        validators=[MinValueValidator(LEAST_QUANTITY, "Bring more than 0.")],
    )
    rule = models.CharField(
        "for what",
        max_length=16,
        choices=[(rule.value, rule.label) for rule in DemandRule],
        default=DemandRule.FIXED.value,
    )
    condition = models.CharField(
        "when",
        max_length=20,
        choices=[(condition.value, condition.label) for condition in Condition],
        default=Condition.ALWAYS.value,
    )

    objects = KitLineQuerySet.as_manager()

    class Meta:
        ordering = ["kit", "item", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["kit", "item"], name="kit_line_once_an_item"),
            models.CheckConstraint(
                condition=Q(quantity__gt=0),
                name="kit_line_brings_something",
                violation_error_message="Bring more than 0.",
            ),
        ]

    def __str__(self) -> str:
        words = f"{say_amount(self.quantity, self.item.unit)} {self.get_rule_display()}"
        if self.condition == Condition.ALWAYS:
            return words
        return f"{words}, if {self.get_condition_display()}"
