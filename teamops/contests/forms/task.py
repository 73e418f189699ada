"""What is asked about a to-do or a step."""

from typing import Any

from django import forms

from teamops.calc.units import c_to_f, f_to_c
from teamops.contests.forms.common import BoxChoice, narrow, people
from teamops.contests.models import Contest, Entry, Task
from teamops.teams.models import Team
from teamops.web.forms import FriendlyForm


class TaskForm(FriendlyForm, forms.ModelForm):
    """A dated to-do: what, by when, who."""

    class Meta:
        model = Task
        fields = ["title", "due_on", "due_at", "person"]
        labels = {"due_at": "At what time"}

    def __init__(self, *args: Any, contest: Contest, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.instance.contest = contest
        self.fields["due_on"].required = True
        narrow(self, "person", people(contest.team), empty="anybody")


class StepForm(FriendlyForm, forms.ModelForm):
    """A step of the day: so many minutes before the turn-in, at a target temperature perhaps."""

    entry = BoxChoice(
        label="For which box", queryset=Entry.objects.none(), required=False,
        help_text="Leave open if it serves every box.",
    )  # fmt: skip
    target = forms.DecimalField(
        label="Target temperature", required=False, max_digits=5, decimal_places=1
    )

    class Meta:
        model = Task
        fields = ["title", "minutes_before", "entry", "person", "caution", "note"]

    field_order = ("title", "minutes_before", "target", "person", "entry", "caution", "note")

    def __init__(self, *args: Any, contest: Contest, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.units = contest.team.units
        self.instance.contest = contest
        self.fields["minutes_before"].required = True
        target = self.fields["target"]
        target.label = f"Target temperature, {'°F' if self.units == Team.Units.US else '°C'}"
        if self.instance.target_c is not None:
            kept = self.instance.target_c
            typed = c_to_f(kept) if self.units == Team.Units.US else kept
            target.initial = f"{typed.normalize():f}"  # 60, not 6E+1
        boxes = contest.entries.select_related("category", "cook_of_record", "contest")
        narrow(self, "entry", boxes, empty="every box")
        also = self.instance.person
        narrow(self, "person", people(contest.team, also=also), empty="anybody")

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
