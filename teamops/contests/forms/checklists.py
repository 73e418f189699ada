"""What is asked about checklists and a trip's days."""

from typing import Any, cast

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator

from teamops.contests.forms.common import narrow, people
from teamops.contests.models import (
    Anchor,
    ChecklistTemplate,
    Contest,
    Task,
    TemplateTask,
    Trip,
)
from teamops.teams.models import Team, User
from teamops.web.forms import FriendlyForm, PlainCharField

MOST_DAYS, MOST_MINUTES = 400, 24 * 60
BEFORE, AFTER, MINUTES = "before", "after", "minutes"


class ChecklistForm(FriendlyForm, forms.ModelForm):
    """What a checklist is called."""

    class Meta:
        model = ChecklistTemplate
        fields = ["name"]
        labels = {"name": "Name of the checklist"}

    def __init__(self, *args: Any, team: Team, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.instance.team = team

    def clean_name(self) -> str:
        name: str = self.cleaned_data["name"]
        others = ChecklistTemplate.objects.for_team(self.instance.team).exclude(pk=self.instance.pk)
        if others.filter(name=name).exists():
            raise forms.ValidationError("You have a checklist of this name already.")
        return name


class ChecklistLineForm(FriendlyForm, forms.ModelForm):
    """One line: what, and so many days or minutes from what."""

    number = forms.IntegerField(
        label="How many",
        required=False,
        help_text="Left open: on the day itself.",
        validators=[
            MinValueValidator(
                0, "Write the number without a minus; beside it you say before or after."
            ),
            MaxValueValidator(MOST_MINUTES, "That is more than a day in minutes."),
        ],
    )
    side = forms.ChoiceField(
        label="Of what",
        choices=[(BEFORE, "days before"), (AFTER, "days after"), (MINUTES, "minutes before")],
    )

    class Meta:
        model = TemplateTask
        fields = ["title", "anchor", "caution"]
        labels = {"anchor": "Counted from", "caution": "What to mind"}

    field_order = ("title", "number", "side", "anchor", "caution")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["anchor"] = forms.ChoiceField(
            label="Counted from", choices=[row for row in Anchor.choices if row[0]]
        )
        self.order_fields(self.field_order)
        line = self.instance
        if line.minutes_before is not None:
            self.initial.update(number=line.minutes_before, side=MINUTES)
        elif line.offset_days:
            side = BEFORE if line.offset_days < 0 else AFTER
            self.initial.update(number=abs(line.offset_days), side=side)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        number, side = cleaned.get("number") or 0, cleaned.get("side")
        if side == MINUTES:
            if cleaned.get("anchor") not in (Anchor.TURN_IN, None):
                self.add_error("anchor", "Minutes are counted before the turn-in.")
            self.instance.minutes_before, self.instance.offset_days = number, None
            return cleaned
        if number > MOST_DAYS:
            self.add_error("number", f"At most {MOST_DAYS} days.")
        self.instance.minutes_before = None
        self.instance.offset_days = -number if side == BEFORE else number
        return cleaned


class PutForm(forms.Form):
    """Which checklist is put on the contest, and for whom."""

    checklist = forms.ModelChoiceField(ChecklistTemplate.objects.none(), empty_label=None)
    person = forms.ModelChoiceField(
        User.objects.none(), label="Who does it", required=False, empty_label="anybody"
    )

    def __init__(self, *args: Any, team: Team, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        checklist = cast("forms.ModelChoiceField", self.fields["checklist"])
        checklist.queryset = ChecklistTemplate.objects.for_team(team)
        person = cast("forms.ModelChoiceField", self.fields["person"])
        person.queryset = people(team)


class RemoveForm(forms.Form):
    """Which checklist is taken off the contest."""

    name = PlainCharField(max_length=80)


class TickForm(forms.Form):
    """A press: the line that is done, or the one that is not."""

    done = forms.UUIDField(required=False)
    undo = forms.UUIDField(required=False)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if bool(cleaned.get("done")) == bool(cleaned.get("undo")):
            raise forms.ValidationError("No such line.")
        return cleaned


class TripForm(FriendlyForm, forms.ModelForm):
    """When a trip leaves and is home again; left open, the contest's own days serve."""

    class Meta:
        model = Trip
        fields = ["name", "leaves_on", "home_on"]
        labels = {"leaves_on": "We leave on", "home_on": "We are home on"}
        help_texts = {
            "leaves_on": "Left open: the day of the load-in, or the day before it if the drive is "
            "four hours or more.",
            "home_on": "Left open: the day after the contest.",
        }

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        leaves, home = cleaned.get("leaves_on"), cleaned.get("home_on")
        if leaves and home and home < leaves:
            self.add_error("home_on", "A trip must leave before it comes home.")
        return cleaned


class TodoForm(FriendlyForm, forms.ModelForm):
    """One to-do of a contest: what, by when, who."""

    class Meta:
        model = Task
        fields = ["title", "due_on", "due_at", "person", "note"]
        labels = {"due_on": "By", "due_at": "At", "person": "Who"}

    def __init__(self, *args: Any, contest: Contest, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        narrow(self, "person", people(contest.team, also=self.instance.person), empty="anybody")
        if self.instance.due_on is None:  # a step of the day keeps its minutes
            del self.fields["due_on"], self.fields["due_at"]
            return
        self.fields["due_on"].required = True
        self.fields["due_at"].widget = forms.TimeInput(attrs={"type": "time"}, format="%H:%M")
        if self.instance.anchor:
            self.fields["due_on"].help_text = "A day of its own no longer moves with the contest."

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if self.instance.anchor and "due_on" in self.changed_data:
            self.instance.anchor, self.instance.offset_days = "", None
        return cleaned


class BackForm(forms.Form):
    """The contest whose page asked, to go back to."""

    contest = forms.UUIDField(required=False)
