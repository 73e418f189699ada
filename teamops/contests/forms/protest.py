"""What is asked about a protest."""

from typing import Any
from uuid import uuid4

from django import forms

from teamops.contests.forms.moments import WallForm, wall_time
from teamops.contests.models import Contest, Protest


class LodgeForm(WallForm, forms.ModelForm):
    """A protest: why. When is now, unless another time is typed."""

    protest = forms.UUIDField(widget=forms.HiddenInput, required=False)

    class Meta:
        model = Protest
        fields = ["reason"]

    def __init__(self, *args: Any, contest: Contest, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["protest"].initial = uuid4  # pressing twice lodges one
        self.fields["at"] = wall_time(
            "Lodged at", help_text="By the official clock. Left open: now.", seconds=True
        )
        self.add_day(contest)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        cleaned["lodged_at"] = self.moment("at")
        return cleaned


class DecideForm(WallForm, forms.ModelForm):
    """What came of a protest."""

    class Meta:
        model = Protest
        fields = ["outcome", "outcome_note", "reason"]

    def __init__(self, *args: Any, contest: Contest, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["at"] = wall_time(
            "Decided at", help_text="By the official clock. Left open: now.", seconds=True
        )
        decided = self.instance.decided_at
        local = decided.astimezone(contest.zone) if decided else None
        self.add_day(contest, local.date() if local else None)
        if local:
            self.fields["at"].initial = local.time()
        self.order_fields(["outcome", "outcome_note", "at", "which", "day", "reason"])

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        cleaned["decided_at"] = self.moment("at")
        return cleaned
