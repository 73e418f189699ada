"""What the team does differently: from a day on, and contest by contest."""

from collections.abc import Mapping, Sequence
from typing import Any
from uuid import UUID

from django import forms
from django.utils.html import escape
from django.utils.safestring import SafeString

from teamops.contests.models import Category
from teamops.judging.models import Change
from teamops.judging.queries.changes import HeldContest
from teamops.web.forms import FriendlyForm

ON, OFF = "on", "off"
WORDS = {"": "as its days say", ON: "with it here", OFF: "without it here"}
SAID = {None: "", True: ON, False: OFF}
MEANT = {"": None, ON: True, OFF: False}


class ChangeForm(FriendlyForm, forms.ModelForm):
    """
    A change, its days, and what is said of single contests.

    `uses` are what is said already. `seen` names how the change stood when the page was drawn.
    """

    seen = forms.CharField(required=False, widget=forms.HiddenInput)

    class Meta:
        model = Change
        fields = ["what", "category", "starts_on", "ends_on", "note"]
        labels = {"category": "For"}
        help_texts = {
            "what": "One thing, so that it can be told apart: “dry brine overnight”.",
            "starts_on": "The first contest day it was so.",
            "ends_on": "The last day it was so; left empty while it goes on.",
        }

    def __init__(
        self,
        *args: Any,
        contests: Sequence[HeldContest] = (),
        uses: Mapping[UUID, bool] | None = None,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.contests = contests
        category: Any = self.fields["category"]
        category.queryset = Category.objects.for_team(self.instance.team)
        category.empty_label = "every box"
        category.error_messages["invalid_choice"] = "That is not one of your categories."
        for contest in contests:
            self.fields[_name(contest.pk)] = forms.ChoiceField(
                choices=list(WORDS.items()),
                required=False,
                label=f"{contest.name}, {_day(contest)}",
                initial=SAID[(uses or {}).get(contest.pk)],
                error_messages={"invalid_choice": "Choose one of the three."},
            )

    def uses(self) -> dict[UUID, bool | None]:
        """What is said of each contest that was asked for; None leaves it to the change's days."""
        return {one.pk: MEANT[self.cleaned_data[_name(one.pk)]] for one in self.contests}

    def coming(self) -> SafeString:
        """A line for each contest that is coming, the next one first."""
        return self._lines([one for one in reversed(self.contests) if one.is_coming])

    def past(self) -> SafeString:
        """A line for each contest that is over, the latest first."""
        return self._lines([one for one in self.contests if not one.is_coming])

    @property
    def says_of_past(self) -> bool:
        """Whether something is said of a contest that is over, or is wrong about it."""
        past = [one for one in self.contests if not one.is_coming]
        names = [_name(one.pk) for one in past]
        return any(self[name].value() or self.errors.get(name) for name in names)

    @property
    def past_count(self) -> int:
        return sum(not one.is_coming for one in self.contests)

    def _lines(self, contests: Sequence[HeldContest]) -> SafeString:
        """Ready strings: there may be two hundred, and a template costs ten times as much."""
        return SafeString("".join([self._line(one) for one in contests]))

    def _line(self, contest: HeldContest) -> str:
        name = _name(contest.pk)
        chosen = str(self[name].value() or "")
        words = WORDS | {"": self._by_its_days(contest)}
        options = "".join(
            f'<option value="{value}"{" selected" * (value == chosen)}>{word}</option>'
            for value, word in words.items()
        )
        errors = str(self.errors.get(name, ""))  # markup of its own, escaped
        return (
            f'<li class="field use{" wrong" * bool(errors)}"><label for="id_{name}">'
            f'<span dir="auto">{escape(contest.name)}</span> '
            f'<span class="small muted">{_day(contest)}</span></label>{errors}'
            f'<select name="{name}" id="id_{name}">{options}</select></li>'
        )

    def _by_its_days(self, contest: HeldContest) -> str:
        if self.instance.starts_on is None:
            return WORDS[""]
        on = self.instance.by_its_days(contest.held_on)
        return f"{WORDS['']}: {'with' if on else 'without'} it"


def _name(pk: UUID) -> str:
    return f"use_{pk.hex}"


def _day(contest: HeldContest) -> str:
    return f"{contest.held_on.day} {contest.held_on:%b %Y}"


class PlanForm(forms.Form):
    """A plan as its page showed it: the contests to cook with the change, and those without."""

    seen = forms.CharField(required=False)
    on = forms.TypedMultipleChoiceField(coerce=UUID, required=False)
    off = forms.TypedMultipleChoiceField(coerce=UUID, required=False)

    def __init__(self, *args: Any, contests: Sequence[HeldContest], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices: Any = [(str(one.pk), one.name) for one in contests if one.is_coming]
        for name in (ON, OFF):
            field: Any = self.fields[name]
            field.choices = choices
            field.error_messages["invalid_choice"] = "One of these contests is not coming any more."

    def plan(self) -> dict[UUID, bool]:
        """Whether to use the change, by contest."""
        cleaned = self.cleaned_data
        return dict.fromkeys(cleaned[OFF], False) | dict.fromkeys(cleaned[ON], True)
