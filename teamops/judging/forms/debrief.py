"""What is asked that night."""

from typing import Any

from django import forms

from teamops.judging.models import Debrief
from teamops.web.forms import FriendlyForm, PlainCharField

MOST_WORDS = 300


class DebriefForm(FriendlyForm, forms.ModelForm):
    """What happened, what to keep, what to change: each may stay empty."""

    seen = forms.IntegerField(widget=forms.HiddenInput, min_value=0, required=False)

    class Meta:
        model = Debrief
        fields = ["happened", "keep", "change"]
        help_texts = {
            "happened": "Fire, wind, timing, the box, what the judges wrote.",
            "keep": "What worked, and should be done again just so.",
        }


class PointsForm(forms.Form):
    """Open points, one a line."""

    lines = PlainCharField(
        label="Open points, one a line",
        max_length=6000,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Write a point, or several, one a line."},
    )

    def clean_lines(self) -> list[str]:
        lines = [" ".join(line.split()) for line in self.cleaned_data["lines"].splitlines()]
        for line in lines:
            if len(line) > MOST_WORDS:
                raise forms.ValidationError(
                    f"“{line[:30]}…” is too long for one point: {MOST_WORDS} letters at most."
                )
        return [line for line in lines if line]


class SettleForm(FriendlyForm, forms.Form):
    """One press on a point: a to-do by a day, a change from a day, dropped, or open again."""

    TASK, CHANGE, DROP, REOPEN = "task", "change", "drop", "reopen"

    press = forms.ChoiceField(choices=[(one, one) for one in (TASK, CHANGE, DROP, REOPEN)])
    on = forms.DateField(
        label="By",
        required=False,
        error_messages={"invalid": "Write the day as year-month-day, for example 2027-06-12."},
    )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("press") == self.TASK and not cleaned.get("on") and "on" not in self.errors:
            self.add_error("on", "Say by which day.")
        return cleaned
