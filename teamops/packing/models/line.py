from decimal import Decimal
from uuid import uuid4

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import Q

from teamops.inventory.models import Container, Item
from teamops.packing.models.packing_list import PackingList
from teamops.teams.fields import PlainTextField
from teamops.teams.models import User
from teamops.teams.scoping import ScopedQuerySet
from teamops.teams.versions import Versioned


def _moment() -> models.DateTimeField:
    return models.DateTimeField(null=True, blank=True, editable=False)


def _person() -> models.ForeignKey:
    return models.ForeignKey(
        User, models.PROTECT, null=True, blank=True, editable=False, related_name="+"
    )


def _who_and_when(stage: str) -> models.CheckConstraint:
    at, by = f"{stage}_at", f"{stage}_by"
    neither = Q(**{at: None, by: None})
    both = Q(**{f"{at}__isnull": False, f"{by}__isnull": False})
    return models.CheckConstraint(
        condition=neither | both, name=f"packing_line_{stage}_is_who_and_when"
    )


class PackingLineQuerySet(ScopedQuerySet["PackingLine"]):
    team_path = "packing_list__trip__team"


class PackingLine(Versioned):
    """So much of one thing, and where it has got to: packed, loaded, home again.

    Name, unit, weight and container are copied from the item, so that a printed list stays true
    when the item changes or goes. `amount` is what to bring; `worked_out` what the numbers gave,
    None where a person added the line. An amount typed by hand (`amount_own`) and an added line
    (`own`) outlive new numbers; `gone` marks a line the numbers no longer ask for but which
    somebody has dealt with. `have` is set while there is less than needed. Masses are for one unit.
    """

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    packing_list = models.ForeignKey(
        PackingList, models.CASCADE, editable=False, related_name="lines"
    )
    item = models.ForeignKey(
        Item, models.SET_NULL, null=True, blank=True, editable=False, related_name="packing_lines"
    )
    name = PlainTextField("what", max_length=80)
    group = PlainTextField(max_length=40, blank=True)
    unit = PlainTextField("counted in", max_length=20, default="each")
    consumable = models.BooleanField("gets used up", default=False)
    mass_kg = models.DecimalField(
        max_digits=12, decimal_places=6, default=Decimal(0), validators=[MinValueValidator(0)]
    )
    container = PlainTextField(max_length=60, blank=True)
    container_kind = models.CharField(
        max_length=8, choices=Container.Kind, default=Container.Kind.GEAR
    )
    container_whole = models.BooleanField(default=False)
    position = models.PositiveSmallIntegerField(default=0)
    amount = models.DecimalField(
        "amount", max_digits=15, decimal_places=6, validators=[MinValueValidator(0)]
    )
    worked_out = models.DecimalField(
        max_digits=15, decimal_places=6, null=True, blank=True, editable=False
    )
    working = PlainTextField(max_length=400, blank=True, editable=False)
    own = models.BooleanField(default=False, editable=False)
    amount_own = models.BooleanField(default=False, editable=False)
    gone = models.BooleanField(default=False, editable=False)
    have = models.DecimalField(
        "we have",
        max_digits=15,
        decimal_places=6,
        null=True,
        blank=True,
        validators=[MinValueValidator(0)],
    )
    note = PlainTextField(
        max_length=200, blank=True, help_text="Such as: borrowed, goes back on Monday."
    )
    packed_at = _moment()
    packed_by = _person()
    packed_amount = models.DecimalField(
        max_digits=15, decimal_places=6, null=True, blank=True, editable=False
    )
    loaded_at = _moment()
    loaded_by = _person()
    home_at = _moment()
    home_by = _person()
    touched = models.PositiveIntegerField(default=0, editable=False)

    objects = PackingLineQuerySet.as_manager()

    class Meta:
        ordering = ["position", "container", "group", "name", "pk"]
        constraints = [
            _who_and_when("packed"),
            _who_and_when("loaded"),
            _who_and_when("home"),
            models.CheckConstraint(
                condition=Q(packed_at=None, packed_amount=None)
                | Q(packed_at__isnull=False, packed_amount__isnull=False),
                name="packing_line_packed_says_how_much",
            ),
            models.CheckConstraint(
                condition=Q(amount__gte=0) & (Q(have=None) | Q(have__gte=0)) & Q(mass_kg__gte=0),
                name="packing_line_not_negative",
                violation_error_message="Amounts and weights cannot be negative.",
            ),
            models.UniqueConstraint(
                fields=["packing_list", "item"],
                condition=Q(item__isnull=False),
                name="packing_line_once_an_item",
            ),
        ]

    def __str__(self) -> str:
        return self.name
