"""What is asked about a contest."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any
from zoneinfo import ZoneInfo, available_timezones

from django import forms
from django.utils import timezone

from teamops.contests.fields import DayTimeField
from teamops.contests.forms.common import narrow
from teamops.contests.models import Contest, Trip
from teamops.teams.models import Team
from teamops.web.forms import FriendlyForm


class ContestForm(FriendlyForm, forms.ModelForm):
    """Registering a contest takes a name, a day and a clock; the rest can wait."""

    seen = forms.IntegerField(widget=forms.HiddenInput, required=False)
    load_in_at = DayTimeField(label="Load-in")
    meeting_at = DayTimeField(label="Cooks’ meeting")
    awards_at = DayTimeField(label="Awards")

    class Meta:
        model = Contest
        fields = [
            "name", "place", "held_on", "time_zone", "kind", "state", "wait_list_place",
            "deadline_on", "fee", "drive_minutes", "trip", "load_in_at", "meeting_at", "awards_at",
            "site_power", "site_water", "meat_issued", "boxes_issued", "site_notes", "notes",
        ]  # fmt: skip

    first = ("name", "place", "held_on", "time_zone", "kind", "state")
    groups = (
        ("Entering", ("deadline_on", "fee", "wait_list_place")),
        ("The day", ("drive_minutes", "trip", "load_in_at", "meeting_at", "awards_at")),
        ("The site", ("site_power", "site_water", "meat_issued", "boxes_issued", "site_notes")),
        ("Notes", ("notes",)),
    )

    def __init__(self, *args: Any, team: Team, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.team = team
        contest = self.instance
        if contest._state.adding:
            contest.team = team
            self.fields["time_zone"].initial = team.time_zone
        else:
            self.fields["seen"].initial = contest.version
        self.fields["time_zone"].widget.attrs["list"] = "zones"
        trips = Trip.objects.for_team(team)
        trip = narrow(self, "trip", trips, empty="a trip of its own")
        trip.required = False
        trip.help_text = "Two contests on one weekend can share a trip: one load, one drive."

    def full_clean(self) -> None:
        """Times are typed on the contest's own clock, which this very form may change."""
        with self._clock():
            super().full_clean()

    @contextmanager
    def _clock(self) -> Iterator[None]:
        name = self.data.get(self.add_prefix("time_zone"), "") if self.is_bound else ""
        known = name in available_timezones()
        with timezone.override(ZoneInfo(name) if known else self.team.zone):
            yield

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
