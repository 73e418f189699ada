"""A moment, asked as a day and a time; and when a clock change makes a time impossible, said so."""

from datetime import datetime
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone


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
