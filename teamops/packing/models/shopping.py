from uuid import uuid4

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import Q

from teamops.inventory.models import Item
from teamops.packing.models.line import PackingLine
from teamops.packing.models.packing_list import PackingList
from teamops.teams.fields import PlainTextField
from teamops.teams.models import Team, User
from teamops.teams.scoping import ScopedQuerySet


class ShoppingLine(models.Model):
    """Something to buy: what a packing list is short of, or what somebody thought of."""

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    team = models.ForeignKey(Team, models.CASCADE, editable=False, related_name="shopping")
    packing_list = models.ForeignKey(
        PackingList, models.CASCADE, null=True, blank=True, related_name="shopping"
    )
    packing_line = models.ForeignKey(
        PackingLine, models.SET_NULL, null=True, blank=True, editable=False, related_name="shopping"
    )
    item = models.ForeignKey(
        Item, models.SET_NULL, null=True, blank=True, editable=False, related_name="+"
    )
    name = PlainTextField("what", max_length=80)
    group = PlainTextField("where it belongs", max_length=40, blank=True)
    unit = PlainTextField("counted in", max_length=20, default="each")
    amount = models.DecimalField(
        max_digits=15, decimal_places=6, default=1, validators=[MinValueValidator(0)]
    )
    note = PlainTextField(max_length=200, blank=True)
    had = (
        models.DecimalField(  # what the packing line had before this was bought: a tick's way back
            max_digits=15, decimal_places=6, null=True, blank=True, editable=False
        )
    )
    bought_at = models.DateTimeField(null=True, blank=True, editable=False)
    bought_by = models.ForeignKey(
        User, models.PROTECT, null=True, blank=True, editable=False, related_name="+"
    )

    objects = ScopedQuerySet["ShoppingLine"].as_manager()

    class Meta:
        ordering = ["group", "name", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(bought_at=None, bought_by=None)
                | Q(bought_at__isnull=False, bought_by__isnull=False),
                name="shopping_line_bought_is_who_and_when",
            ),
            models.CheckConstraint(
                condition=Q(amount__gte=0),
                name="shopping_line_not_negative",
                violation_error_message="An amount cannot be negative.",
            ),
            models.UniqueConstraint(
                fields=["packing_line"],
                condition=Q(packing_line__isnull=False, bought_at=None),
                name="shopping_line_open_once_a_shortage",
            ),
        ]

    def __str__(self) -> str:
        return self.name
