"""Something official about an entry, put right on one day."""

from typing import Any

from django import forms
from django.core.validators import MinValueValidator

from teamops.contests.models import Entry
from teamops.judging.actions import CORRECTABLE
from teamops.judging.forms.numbers import PaperNumberField
from teamops.judging.forms.posted import LARGEST
from teamops.web.forms import FriendlyForm, PlainCharField


class CorrectionForm(FriendlyForm, forms.ModelForm):
    """What is official, as it should be; the day of the correction, and why."""

    official_total = PaperNumberField(label="Posted total", digits=6, places=4)
    corrected_on = forms.DateField(
        label="Corrected on", error_messages={"required": "Say which day it was corrected."}
    )
    why = PlainCharField(
        label="Why, or by whom",
        required=False,
        max_length=300,
        help_text="“Sheet of another team in our envelope”, “head judge called on Tuesday”.",
    )
    seen = forms.IntegerField(widget=forms.HiddenInput, min_value=1)

    class Meta:
        model = Entry
        fields = CORRECTABLE
        labels = {"disqualified": "Disqualified", "disqualified_why": "Why disqualified"}

    field_order = (
        "official_total", "placing", "field_size", "tied", "tie_way", "disqualified",
        "disqualified_why", "overturned_why", "prize_owed", "prize_note", "corrected_on", "why",
    )  # fmt: skip

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("placing", "field_size"):
            self.fields[name].error_messages |= {
                "invalid": "Write a whole number, such as 7.",
                "min_value": "Counting starts at 1.",
            }
            self.fields[name].validators.append(LARGEST)
        below = MinValueValidator(0, "An amount cannot be negative.")
        self.fields["prize_owed"].validators.append(below)
        for name in ("disqualified_why", "overturned_why"):
            self.fields[name].widget.attrs["rows"] = 2

    @property
    def official(self) -> dict[str, Any]:
        """What was typed of what is official."""
        return {name: self.cleaned_data[name] for name in CORRECTABLE}
