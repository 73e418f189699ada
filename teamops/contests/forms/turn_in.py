"""What is asked about a turn-in, and about what became of the box."""

from typing import Any

from django import forms

from teamops.contests.forms.common import people
from teamops.contests.forms.meeting import tap_field
from teamops.contests.forms.moments import WallForm, wall_time
from teamops.contests.models import Entry
from teamops.contests.queries.turn_in import is_scored
from teamops.web.forms import FriendlyForm


class PressForm(forms.Form):
    """One press: turned in now, taken back, or what was made of a late box."""

    NOW, BACK, LATE = "now", "back", "late"

    press = forms.ChoiceField(choices=[(NOW, NOW), (BACK, BACK), (LATE, LATE)])
    tapped_at = tap_field()
    late = forms.ChoiceField(choices=Entry.Late.choices, required=False)


class TurnInForm(WallForm, forms.ModelForm):
    """When, by whom, the spare or not, and what was made of it if it was late."""

    seen = forms.IntegerField(widget=forms.HiddenInput, required=False)

    class Meta:
        model = Entry
        fields = ["spare_turned_in", "turn_in_note", "late", "late_points"]
        labels = {"turn_in_note": "Note"}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        entry = self.instance
        self.fields["seen"].initial = entry.version
        self.fields["at"] = wall_time(
            "Turned in at", seconds=True, help_text="By the official clock."
        )
        who = forms.ModelChoiceField(
            people(entry.contest.team), label="By", required=False, empty_label="me"
        )
        who.initial = entry.turned_in_by_id
        self.fields["who"] = who
        at = entry.turned_in_at
        local = at.astimezone(entry.contest.zone) if at else None
        self.fields["at"].initial = local.time() if local else None
        self.add_day(entry.contest, local.date() if local else None)
        self.fields["late_points"].help_text = "Only where it was docked."
        if is_scored(entry):  # a total hangs on them: they are decided with the scores
            del self.fields["late"], self.fields["late_points"]
        self.order_fields(
            ["at", "which", "day", "who", "spare_turned_in", "turn_in_note", "late", "late_points"]
        )

    def clean(self) -> dict[str, Any]:
        self.cleaned_data = cleaned = super().clean() or self.cleaned_data
        cleaned["turned_in_at"] = self.moment("at")
        if self.instance.turned_in_at is None and "at" not in self.errors and not cleaned.get("at"):
            self.add_error("at", "When was it? Or press “Turned in now”.")
        return cleaned


class OutcomeForm(FriendlyForm, forms.ModelForm):
    """What became of the box with the judges: disqualified and why, taken back and why."""

    NO, YES, BACK = "no", "yes", "back"

    seen = forms.IntegerField(widget=forms.HiddenInput, required=False)
    judges = forms.ChoiceField(
        label="Disqualified?",
        choices=[(NO, "No"), (YES, "Disqualified"), (BACK, "Disqualified, then taken back")],
        widget=forms.RadioSelect,
    )

    class Meta:
        model = Entry
        fields = ["disqualified_why", "overturned_why", "state"]
        labels = {
            "disqualified_why": "Why it was disqualified",
            "overturned_why": "Why that was taken back",
            "state": "What else became of the box",
        }

    field_order = ("judges", "disqualified_why", "overturned_why", "state")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        entry = self.instance
        self.fields["seen"].initial = entry.version
        taken_back = entry.disqualified_why or entry.overturned_why
        self.fields["judges"].initial = (
            self.YES if entry.disqualified else self.BACK if taken_back else self.NO
        )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        judges = cleaned.get("judges")
        if judges == self.BACK and not (
            cleaned.get("disqualified_why") or cleaned.get("overturned_why")
        ):
            self.add_error("overturned_why", "Say why it was, or why it was taken back.")
        if judges == self.NO:
            cleaned["disqualified_why"] = cleaned["overturned_why"] = ""
        elif judges == self.YES:
            cleaned["overturned_why"] = ""
        self.instance.disqualified = judges == self.YES
        return cleaned
