"""What is asked about a category."""

from typing import Any

from django import forms

from teamops.contests.fields import TemperatureField, say_units
from teamops.contests.models import Category
from teamops.web.forms import FriendlyForm


class AimForm(FriendlyForm, forms.ModelForm):
    """The peak temperature that a category is cooked to; left empty, there is none."""

    aim_c = TemperatureField(
        help_text="The highest the meat should reach while it rests, not what you pull it at."
    )

    class Meta:
        model = Category
        fields = ["aim_c"]

    def __init__(self, *args: Any, units: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        say_units(self, "aim_c", "Peak aimed at", units)
