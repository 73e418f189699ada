"""Moments, asked as a day and a time; and temperatures in the team's units."""

from datetime import datetime
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from teamops.calc.units import c_to_f, f_to_c
from teamops.teams.models import Team

HOTTEST = Decimal(999)  # [°C], the most that is kept
COLDEST = Decimal(-99)


class DayTimeWidget(forms.SplitDateTimeWidget):
    """Two boxes, day and time, so that the contest's day can be there already."""

    def __init__(self, attrs: dict[str, Any] | None = None) -> None:
        super().__init__(
            attrs,
            date_format="%Y-%m-%d",
            time_format="%H:%M",
            date_attrs={"type": "date", "aria-label": "day"},
            time_attrs={"type": "time", "aria-label": "time"},
        )


class DayTimeField(forms.SplitDateTimeField):
    """A moment on the current clock; a day without a time is no moment yet, not a mistake."""

    widget = DayTimeWidget

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(required=False, **kwargs)
        day, time = self.fields
        day.error_messages["invalid"] = "Write the day as year-month-day, for example 2027-06-12."
        time.error_messages["invalid"] = "Write the time as hours and minutes, for example 13:00."

    def clean(self, value: Any) -> datetime | None:
        if isinstance(value, list | tuple) and len(value) == 2 and not value[1]:
            return None
        try:
            return super().clean(value)
        except ValidationError as error:
            if any(one.code == "ambiguous_timezone" for one in error.error_list):
                raise ValidationError(_clock_change(value)) from error
            raise

    def compress(self, data_list: Any) -> datetime | None:
        if data_list and data_list[0] in self.empty_values:
            raise ValidationError("Give the day as well.", code="invalid_date")
        return super().compress(data_list)


def _clock_change(value: Any) -> str:
    """What is wrong with a local time that is missing, or there twice, on its day."""
    wall = datetime.fromisoformat(f"{value[0]}T{value[1]}")
    zone = timezone.get_current_timezone()
    early = wall.replace(tzinfo=zone, fold=0).utcoffset()
    late = wall.replace(tzinfo=zone, fold=1).utcoffset()
    if early is not None and late is not None and early < late:
        return f"{value[1]} does not exist on that day: the clocks go forward over it."
    return f"{value[1]} comes twice on that day: the clocks go back. Choose a time beside it."


class TemperatureField(forms.DecimalField):
    """A temperature in the team's units, to a tenth, kept in °C; it reads back as typed.

    Refuses what is not from `least` to `most` [°C], in the words of `beyond`.
    """

    def __init__(
        self,
        *,
        least: Decimal = COLDEST,
        most: Decimal = HOTTEST,
        beyond: str = "No fire is that cold or hot: check the number.",
        **kwargs: Any,
    ) -> None:
        super().__init__(required=False, decimal_places=1, **kwargs)
        self.error_messages |= {
            "invalid": "Write a number, such as 136 or 57.5.",
            "max_decimal_places": "Write it to a tenth of a degree.",
        }
        self.least, self.most, self.beyond = least, most, beyond
        self.units = ""

    def clean(self, value: Any) -> Decimal | None:
        typed: Decimal | None = super().clean(str(value or "").replace(",", "."))
        if typed is None:
            return None
        celsius = f_to_c(typed) if self.units == Team.Units.US else typed
        if not self.least <= celsius <= self.most:
            raise forms.ValidationError(self.beyond)
        return celsius

    def prepare_value(self, value: Any) -> Any:
        """Show what is stored in the team's units, and what was typed as it was typed."""
        if not isinstance(value, Decimal):
            return value
        shown = c_to_f(value) if self.units == Team.Units.US else value
        return f"{(shown + 0).normalize():f}"  # 0, not -0


def say_units(form: forms.BaseForm, name: str, label: str, units: str) -> None:
    """Ask a form's temperature in these units, and say them behind its label."""
    field: Any = form.fields[name]
    field.units = units
    field.label = f"{label}, {'°F' if units == Team.Units.US else '°C'}"
