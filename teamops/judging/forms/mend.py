"""Presses that put a saved sheet right, and what the judges decided about a box."""

from typing import Any

from django import forms

from teamops.contests.models import Entry
from teamops.judging.actions import SETTLED
from teamops.rules.forms import RulebookChoice
from teamops.rules.queries import offered_rulebooks
from teamops.web.forms import FriendlyForm


class MendForm(forms.Form):
    """One press on the page of saved sheets: which, on which sheet, and what the page had seen."""

    NOT_OURS, COLUMNS, SHEET, ALL, BOOK = "not_ours", "columns", "sheet", "all", "book"

    press = forms.ChoiceField(choices=[(one, one) for one in (NOT_OURS, COLUMNS, SHEET, ALL, BOOK)])
    seen = forms.IntegerField(min_value=0)
    sheet = forms.UUIDField(required=False)
    first = forms.IntegerField(required=False, min_value=1)
    second = forms.IntegerField(required=False, min_value=1)
    other = forms.UUIDField(required=False)
    other_seen = forms.IntegerField(required=False, min_value=0)
    rulebook = forms.UUIDField(required=False)


class BookForm(forms.Form):
    """Which other rulebook judged the box."""

    def __init__(self, *args: Any, entry: Entry, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        books = offered_rulebooks(entry.contest.team, entry.rulebook).exclude(pk=entry.rulebook_id)
        self.fields["rulebook"] = RulebookChoice(books, label="It was judged by", empty_label=None)


class SettleForm(FriendlyForm, forms.ModelForm):
    """Late, not judged, disqualified or not after all, and how a tie was settled."""

    seen = forms.IntegerField(widget=forms.HiddenInput, min_value=0)

    class Meta:
        model = Entry
        fields = SETTLED
        labels = {"disqualified_why": "Why it was disqualified"}
        help_texts = {
            "late_points": "Only where it was docked; left open, the rulebook’s points.",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["seen"].initial = self.instance.version

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("disqualified"):
            cleaned["overturned_why"] = ""
        return cleaned

    @property
    def decided(self) -> dict[str, Any]:
        """What is to be kept of it."""
        return {name: self.cleaned_data[name] for name in SETTLED}
