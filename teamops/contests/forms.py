"""What is asked about a contest, an entry and a task."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from typing import Any, cast
from zoneinfo import ZoneInfo, available_timezones

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from django.utils import timezone

from teamops.calc.units import c_to_f, f_to_c
from teamops.contests.fields import DayTimeField
from teamops.contests.models import Category, Contest, Entry, Task, Trip
from teamops.rules.models import Rulebook
from teamops.teams.models import Team, User
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


class EntryForm(FriendlyForm, forms.ModelForm):
    """One box: what is cooked, by whose rules, in which window."""

    seen = forms.IntegerField(widget=forms.HiddenInput, required=False)
    category_name = forms.CharField(
        label="Category",
        max_length=60,
        initial="Ribeye",
        widget=forms.TextInput(attrs={"list": "categories", "autocomplete": "off"}),
        help_text="Ribeye, or what the ancillary is called.",
    )
    ancillary = forms.BooleanField(
        label="An ancillary, not a steak", required=False, help_text="Side dish, dessert and so on."
    )
    window_opens_at = DayTimeField(label="Turn-in opens")
    window_closes_at = DayTimeField(
        label="Turn-in closes", help_text="Left open: the rulebook’s window after it opens."
    )

    class Meta:
        model = Entry
        fields = [
            "rulebook", "cook_of_record", "window_opens_at", "window_closes_at", "team_number",
            "blind_number", "notes",
        ]  # fmt: skip

    field_order = ("category_name", "ancillary")

    def __init__(self, *args: Any, contest: Contest, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.contest = contest
        team, entry = contest.team, self.instance
        day = contest.held_on.isoformat()
        for name in ("window_opens_at", "window_closes_at"):
            if getattr(entry, name) is None:
                self.initial[name] = [day, None]  # the time is all that is left to type
        if entry._state.adding:
            entry.contest = contest
        else:
            self.fields["category_name"].initial = entry.category.name
            self.fields["ancillary"].initial = entry.category.ancillary
            self.fields["seen"].initial = entry.version
        rulebook = narrow(self, "rulebook", Rulebook.objects.for_team(team))
        if entry.marked_at:
            rulebook.disabled = True
            rulebook.help_text = "Score sheets are written under it, so it stays."
        narrow(self, "cook_of_record", people(team), empty="not decided")
        self.categories = list(Category.objects.for_team(team))

    def clean_category_name(self) -> str:
        name = " ".join(self.cleaned_data["category_name"].split())
        same = [row.name for row in self.categories if row.name.casefold() == name.casefold()]
        return same[0] if same else name

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        opens, closes = cleaned.get("window_opens_at"), cleaned.get("window_closes_at")
        rulebook = cleaned.get("rulebook")
        if opens and not closes and "window_closes_at" not in self.errors:
            minutes = rulebook.window_minutes if rulebook else None
            if minutes:
                cleaned["window_closes_at"] = opens + timedelta(minutes=minutes)
        elif opens and closes and opens >= closes:
            self.add_error("window_closes_at", "The turn-in window must open before it closes.")
        return cleaned


class TaskForm(FriendlyForm, forms.ModelForm):
    """A dated to-do: what, by when, who."""

    class Meta:
        model = Task
        fields = ["title", "due_on", "person"]

    def __init__(self, *args: Any, contest: Contest, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.instance.contest = contest
        self.fields["due_on"].required = True
        narrow(self, "person", people(contest.team), empty="anybody")


class StepForm(FriendlyForm, forms.ModelForm):
    """A step of the day: so many minutes before the turn-in, at a target temperature perhaps."""

    target = forms.DecimalField(
        label="Target temperature", required=False, max_digits=5, decimal_places=1
    )

    class Meta:
        model = Task
        fields = ["title", "minutes_before", "entry", "person", "caution"]

    field_order = ("title", "minutes_before", "target", "person", "entry", "caution")

    def __init__(self, *args: Any, contest: Contest, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.units = contest.team.units
        self.instance.contest = contest
        self.fields["minutes_before"].required = True
        target = self.fields["target"]
        target.label = f"Target temperature, {'°F' if self.units == Team.Units.US else '°C'}"
        if self.instance.target_c is not None:
            kept = self.instance.target_c
            target.initial = c_to_f(kept) if self.units == Team.Units.US else kept.normalize()
        boxes = contest.entries.select_related("category", "contest")
        narrow(self, "entry", boxes, empty="every box")
        narrow(self, "person", people(contest.team), empty="anybody")

    def clean_target(self) -> Any:
        target = self.cleaned_data["target"]
        if target is None or self.units != Team.Units.US:
            return target
        return f_to_c(target)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        target = cleaned.get("target")
        if target is not None and not -40 <= target <= 500:
            self.add_error("target", "No grill is that cold or hot: check the number.")
        self.instance.target_c = target
        return cleaned


def people(team: Team) -> QuerySet[User]:
    """The team's people by name."""
    return User.objects.filter(memberships__team=team).order_by("name", "pk")


def narrow(
    form: forms.ModelForm, name: str, rows: QuerySet[Any], empty: str = ""
) -> forms.ModelChoiceField:
    """Offer only these rows in a field; `empty` words the choice of none."""
    field = cast("forms.ModelChoiceField", form.fields[name])
    field.queryset = rows
    if empty:
        field.empty_label = empty
    return field


def zone_names() -> list[str]:
    """Places to offer as clocks: Area/City, without the historical aliases."""
    areas = ("America/", "Europe/", "Pacific/", "Australia/", "Africa/", "Asia/", "Atlantic/")
    return sorted(name for name in available_timezones() if name.startswith(areas))


def refuse_with(form: forms.BaseForm, error: ValidationError) -> None:
    """Put an action's refusal back on the form: at the field it names, by name or by code."""
    if not hasattr(error, "error_dict"):
        form.add_error(None, error)
        return
    for name, errors in error.error_dict.items():
        for one in errors:
            place = name if name in form.fields else one.code
            form.add_error(place if place in form.fields else None, one)
