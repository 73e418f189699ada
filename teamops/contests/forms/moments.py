"""A moment on the official clock's wall, to the second, even in the hour that comes twice."""

from datetime import date, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.core.exceptions import ValidationError

from teamops.contests.models import Contest
from teamops.contests.queries.windows import DAY, instants
from teamops.web.forms import DateInput, FriendlyForm

FIRST, SECOND = "first", "second"


class WallTimeInput(forms.TimeInput):
    """A time as phones ask for it."""

    input_type = "time"

    def __init__(self, *, seconds: bool = False) -> None:
        attrs = {"step": "1"} if seconds else {}
        super().__init__(attrs=attrs, format="%H:%M:%S" if seconds else "%H:%M")


def wall_time(label: str, *, seconds: bool = False, **more: Any) -> forms.TimeField:
    """A time of day; whether it exists on its day is asked once the day is known."""
    field = forms.TimeField(
        label=label, widget=WallTimeInput(seconds=seconds), required=False, **more
    )
    field.error_messages["invalid"] = "Write the time as hours and minutes, for example 13:00."
    return field


class WallForm(FriendlyForm):
    """
    Mixed into forms that ask for times on the contest's wall: one day, and which of two.

    `moment` reads one of the times a subclass asks, once all is clean.
    """

    contest: Contest
    data: Any
    cleaned_data: dict[str, Any]

    def add_day(self, contest: Contest, day: date | None = None) -> None:
        """Ask the day, filled in; and which of two times, where clocks go back on it."""
        self.contest = contest
        day = day or contest.held_on
        field = forms.DateField(label="Day", initial=day, required=False, widget=DateInput())
        field.error_messages["invalid"] = "Write the day as year-month-day, for example 2027-06-12."
        typed = _day(self.data.get("day")) if self.data else None
        if clocks_go_back(typed or day, contest.zone):
            self.fields["which"] = forms.ChoiceField(
                label="Clocks go back that day: a time that comes twice is",
                required=False,
                choices=[("", "not said"), (FIRST, "the first, before"), (SECOND, "the second")],
            )
        self.fields["day"] = field

    def moment(self, name: str) -> datetime | None:
        """The moment typed in a field, or None; what is wrong with it is said at the field."""
        cleaned = self.cleaned_data
        at = cleaned.get(name)
        if at is None:
            return None
        try:
            return moment_of(self.contest, cleaned.get("day"), at, cleaned.get("which", ""))
        except ValidationError as error:
            self.add_error(name, error)  # type: ignore[attr-defined]  # of the form it is mixed into
            return None


def _day(text: Any) -> date | None:
    try:
        return date.fromisoformat(str(text))
    except ValueError:
        return None


def clocks_go_back(day: date, zone: ZoneInfo) -> bool:
    """Whether some hour comes twice on this day."""
    starts, ends = (
        datetime.combine(one, time.min, tzinfo=zone).utcoffset() for one in (day, day + DAY)
    )
    return starts is not None and ends is not None and starts > ends


def moment_of(contest: Contest, day: date | None, wall: time, which: str) -> datetime:
    """The moment this wall time stands for.

    Refuses (ValidationError) a time that the day skips, and one that comes twice until it is said
    which of the two it is.
    """
    found = instants(day or contest.held_on, wall, contest.zone)
    said = f"{wall:%H:%M}"
    if not found:
        raise ValidationError(
            f"{said} does not exist on that day: the clocks go forward over it.", code="gap"
        )
    if len(found) == 2 and which not in (FIRST, SECOND):
        raise ValidationError(
            f"{said} comes twice on that day: the clocks go back. Say which one.",
            code="twice",
        )
    return found[-1] if which == SECOND else found[0]
