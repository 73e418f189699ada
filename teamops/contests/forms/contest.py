"""What is asked about a contest."""

from collections.abc import Iterator
from contextlib import contextmanager
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.utils import timezone

from teamops.contests.fields import DayTimeField, TemperatureField, say_units
from teamops.contests.forms.common import narrow
from teamops.contests.models import Contest, Trip
from teamops.teams.models import Team
from teamops.teams.zones import zone_typed, zones
from teamops.web.forms import FriendlyForm, PlainCharField

ON_THE_DAY = ("load_in_at", "meeting_at", "awards_at")


class ContestForm(FriendlyForm, forms.ModelForm):
    """Registering a contest takes a name, a day and a clock; the rest can wait."""

    seen = forms.IntegerField(widget=forms.HiddenInput, required=False)
    entries_open_at = DayTimeField(
        label="Entries open", help_text="The to-do list says so on the minute."
    )
    load_in_at = DayTimeField(label="Load-in")
    meeting_at = DayTimeField(label="Cooks’ meeting")
    awards_at = DayTimeField(label="Awards")
    air_c = TemperatureField(
        least=Decimal(-60),
        most=Decimal(60),
        beyond="No contest is cooked in air that cold or hot: check the number.",
        help_text="Around the turn-in: as expected before, as it was after.",
    )

    class Meta:
        model = Contest
        fields = [
            "name", "place", "held_on", "time_zone", "kind", "state", "wait_list_place",
            "state_why", "was_held_on", "entries_open_at", "deadline_on", "least_field", "fee",
            "early_fee", "early_until_on", "late_fee", "late_from_on", "walk_up_fee", "deposit",
            "deposit_terms", "drive_minutes", "trip", "load_in_at", "meeting_at", "awards_at",
            "site_power", "site_water", "meat_issued", "boxes_issued", "site_notes", "air_c",
            "rain", "wind", "notes",
        ]  # fmt: skip
        labels = {
            "wait_list_place": "Place on the wait list",
            "state_why": "Why it is off, or was moved",
            "early_until_on": "Early fee until",
            "late_from_on": "Late fee from",
            "deposit_terms": "What becomes of the deposit",
        }
        help_texts = {
            "early_until_on": "Its last day.",
            "late_from_on": "Its first day.",
            "fee": "For all your boxes together.",
            "rain": "While you cook: expected, then as it was.",
            "wind": "Wind that took heat or flame: expected, then as it was.",
            "time_zone": "The contest’s own clock: its city, or a big one by the same clock.",
        }

    first = ("name", "place", "held_on", "time_zone", "kind", "state")
    groups = (
        ("Entering", ("entries_open_at", "deadline_on", "least_field", "wait_list_place")),
        (
            "Fees and deposit",
            ("fee", "early_fee", "early_until_on", "late_fee", "late_from_on", "walk_up_fee",
             "deposit", "deposit_terms"),
        ),
        ("Postponed, cancelled or withdrawn", ("state_why", "was_held_on")),
        ("The day", ("drive_minutes", "trip", "load_in_at", "meeting_at", "awards_at")),
        ("The site", ("site_power", "site_water", "meat_issued", "boxes_issued", "site_notes")),
        ("The weather", ("air_c", "rain", "wind")),
        ("Notes", ("notes",)),
    )  # fmt: skip

    def __init__(self, *args: Any, team: Team, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.team = team
        contest = self.instance
        self.unset = [name for name in ON_THE_DAY if getattr(contest, name) is None]
        self.was_on = contest.held_on.isoformat() if contest.held_on else ""
        if contest._state.adding:
            contest.team = team
            self.fields["time_zone"].initial = team.time_zone
        else:
            self.fields["seen"].initial = contest.version
        for name in self.unset:  # the time is all that is left to type
            self.initial[name] = [self.was_on, None]
            self.fields[name].help_text = "On the day of the contest, unless you give another."
        say_units(self, "air_c", "Air temperature", team.units)
        self.fields["time_zone"].widget.attrs["list"] = "zones"
        trips = Trip.objects.for_team(team)
        trip = narrow(self, "trip", trips, empty="a trip of its own")
        trip.required = False
        trip.help_text = "Two contests on one weekend can share a trip: one load, one drive."
        if self.is_bound:
            self._fill_in_the_day()

    def _fill_in_the_day(self) -> None:
        """A time typed for the first time, without another day, is on the contest's day."""
        sent: Any = self.data
        data = sent.copy()
        day = data.get(self.add_prefix("held_on"), "")
        for name in self.unset:
            field, time = self.add_prefix(f"{name}_0"), data.get(self.add_prefix(f"{name}_1"))
            if time and day and data.get(field, "") in ("", self.was_on):
                data[field] = day
        self.data = data

    def full_clean(self) -> None:
        """Times are typed on the contest's own clock, which this very form may change."""
        with self._clock():
            super().full_clean()

    @contextmanager
    def _clock(self) -> Iterator[None]:
        typed = self.data.get(self.add_prefix("time_zone"), "") if self.is_bound else ""
        name = zone_typed(typed)
        with timezone.override(ZoneInfo(name) if name in zones() else self.team.zone):
            yield

    def clean_time_zone(self) -> str:
        return zone_typed(self.cleaned_data["time_zone"])

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("wait_list_place") and cleaned.get("state") != Contest.State.WAIT_LIST:
            cleaned["wait_list_place"] = None  # off the list again: the place went with it
        deadline, day = cleaned.get("deadline_on"), cleaned.get("held_on")
        if deadline and day and deadline > day:
            self.add_error("deadline_on", "The entry deadline must not be after the contest.")
        return cleaned

    def section(self, names: tuple[str, ...]) -> list[forms.BoundField]:
        return [self[name] for name in names]

    @property
    def main(self) -> list[forms.BoundField]:
        return self.section(self.first)

    @property
    def more(self) -> list[tuple[str, list[forms.BoundField], bool]]:
        """The groups behind a fold: name, fields, and whether one of them needs a look."""
        groups = ((name, self.section(fields)) for name, fields in self.groups)
        return [(name, fields, any(field.errors for field in fields)) for name, fields in groups]


class PostponeForm(FriendlyForm, forms.Form):
    """Another day for a contest, if it is known, and why."""

    to = forms.DateField(
        label="New day", required=False, help_text="Left open: not known yet. It waits until then."
    )
    why = PlainCharField(label="Why", required=False, max_length=200)
    seen = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, contest: Contest, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.contest = contest
        self.fields["why"].initial = contest.state_why
        self.fields["seen"].initial = contest.version

    def clean_to(self) -> Any:
        day = self.cleaned_data["to"]
        if day == self.contest.held_on and not self.contest.is_off:
            raise forms.ValidationError("That is the day it is on already.")
        return day


class CallOffForm(FriendlyForm, forms.Form):
    """Whether the contest was cancelled or we withdrew, and why."""

    state = forms.ChoiceField(
        label="What happened",
        choices=[
            (Contest.State.CANCELLED, "The contest was cancelled"),
            (Contest.State.WITHDRAWN, "We withdrew"),
        ],
        initial=Contest.State.CANCELLED,
        widget=forms.RadioSelect,
    )
    why = PlainCharField(label="Why", required=False, max_length=200)
    seen = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, contest: Contest, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["why"].initial = contest.state_why
        self.fields["seen"].initial = contest.version
