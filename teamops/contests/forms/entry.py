"""What is asked about a box."""

from datetime import timedelta
from typing import Any, cast

from django import forms

from teamops.contests.fields import DayTimeField
from teamops.contests.forms.common import narrow, people
from teamops.contests.models import Category, Contest, Entry
from teamops.contests.queries.turn_in import is_scored
from teamops.rules.forms import RulebookChoice
from teamops.rules.models import Rulebook
from teamops.rules.queries import offered_rulebooks
from teamops.web.forms import FriendlyForm

WITH_SCORES = "A total hangs on it: the score page decides it, with the sheets."


class EntryForm(FriendlyForm, forms.ModelForm):
    """One box: what is cooked, by whose rules, in which window, and what became of it."""

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
    rulebook = RulebookChoice(queryset=Rulebook.objects.none(), empty_label=None)
    window_opens_at = DayTimeField(label="Turn-in opens")
    window_closes_at = DayTimeField(
        label="Turn-in closes", help_text="Left open: the rulebook’s window after it opens."
    )

    class Meta:
        model = Entry
        fields = [
            "rulebook", "cook_of_record", "window_opens_at", "window_closes_at", "team_number",
            "blind_number", "guest_cook", "cooked_for", "state", "prize_owed", "prize_received",
            "prize_received_on", "prize_note", "qualifies_for", "notes",
        ]  # fmt: skip
        labels = {"prize_owed": "Prize won", "prize_received_on": "Prize received on"}
        help_texts = {
            "guest_cook": "Somebody outside the team who cooks this box.",
            "prize_note": "Split with whom, a trophy, a voucher.",
            "qualifies_for": "A final, an invitation.",
        }

    first = (
        "category_name", "ancillary", "rulebook", "cook_of_record", "window_opens_at",
        "window_closes_at", "team_number", "blind_number",
    )  # fmt: skip
    groups = (
        ("A guest cooks, or we cook for others", ("guest_cook", "cooked_for")),
        ("What became of it", ("state",)),
        (
            "Prize",
            ("prize_owed", "prize_received", "prize_received_on", "prize_note", "qualifies_for"),
        ),
        ("Notes", ("notes",)),
    )

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
        keep = entry.rulebook if entry.rulebook_id else None
        rulebook = narrow(self, "rulebook", offered_rulebooks(team, keep))
        if entry.marked_at:
            rulebook.disabled = True
            rulebook.help_text = "Score sheets are written under it, so it stays."
        if is_scored(entry):
            self.fields["state"].disabled = True
            self.fields["state"].help_text = WITH_SCORES
        cooks = people(team, also=entry.cook_of_record)
        narrow(self, "cook_of_record", cooks, empty="not decided")
        self.categories = list(Category.objects.for_team(team))

    def choose_rulebook(self, key: str) -> None:
        """Preselect a rulebook that was just written for this box, if it may be chosen."""
        field = cast("forms.ModelChoiceField", self.fields["rulebook"])
        rows = field.queryset if key and not field.disabled else None
        if rows is not None and key in {str(row.pk) for row in rows}:
            self.initial["rulebook"] = key
            field.help_text = "Chosen for you; Save keeps it."

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

    @property
    def main(self) -> list[forms.BoundField]:
        return [self[name] for name in self.first]

    @property
    def more(self) -> list[tuple[str, list[forms.BoundField], bool]]:
        """The groups behind a fold: name, fields, and whether it is to stand open."""
        groups = [(name, [self[field] for field in fields]) for name, fields in self.groups]
        return [(name, fields, any(map(_open, fields))) for name, fields in groups]


def _open(field: forms.BoundField) -> bool:
    return bool(field.errors or field.value())


class OutcomesForm(forms.Form):
    """What became of each box of a contest: one category judged and the rest not, in one press."""

    def __init__(self, *args: Any, entries: list[tuple[Entry, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for entry, words in entries:
            self.fields[f"state_{entry.pk}"] = forms.ChoiceField(
                label=words,
                choices=Entry.State.choices,
                initial=entry.state,
                required=False,
                disabled=is_scored(entry),
                help_text=WITH_SCORES if is_scored(entry) else "",
            )
        self.entries = [entry for entry, _ in entries]

    @property
    def outcomes(self) -> dict[Any, str]:
        """The state that was chosen for each entry, by its id."""
        return {entry.pk: self.cleaned_data[f"state_{entry.pk}"] for entry in self.entries}
