"""Numbers in forms: weights in pounds or kilograms, amounts without needless zeros."""

from decimal import Decimal
from typing import Any

from django import forms

from teamops.calc.words import plain
from teamops.inventory.weights import kg_to_weight, weight_to_kg
from teamops.teams.models import Team


def plain_numbers(form: forms.BaseForm) -> None:
    """Start a form's decimal fields with 2.5, where the database keeps 2.500000."""
    for name, value in form.initial.items():
        if isinstance(value, Decimal):
            form.initial[name] = Decimal(plain(value))


MOST = Decimal(99_999)


class WeightField(forms.DecimalField):
    """What one of something weighs, in the team's units; may be left open."""

    def __init__(self, units: str, **kwargs: Any) -> None:
        unit, places = ("lb", 3) if units == Team.Units.US else ("kg", 6)
        super().__init__(
            label=f"Weight of one ({unit})",
            help_text="Leave it open if you do not know.",
            widget=forms.TextInput(attrs={"inputmode": "decimal"}),
            min_value=0,
            max_value=MOST,
            decimal_places=places,
            required=False,
            **kwargs,
        )
        self.units = units

    def shown(self, kg: Decimal) -> Decimal | None:
        """A stored weight to start the field with; nothing where there is none."""
        return Decimal(f"{kg_to_weight(kg, self.units).normalize():f}") if kg else None

    def stored(self, typed: Decimal | None) -> Decimal:
        """What is stored of what was typed. [lb or kg] -> [kg]"""
        return weight_to_kg(typed or Decimal(0), self.units)
