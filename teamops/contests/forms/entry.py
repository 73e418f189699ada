"""What is asked about a box."""

from datetime import timedelta
from typing import Any

from django import forms

from teamops.contests.fields import DayTimeField
from teamops.contests.forms.common import narrow, people
from teamops.contests.models import Category, Contest, Entry
from teamops.rules.models import Rulebook
from teamops.web.forms import FriendlyForm


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
