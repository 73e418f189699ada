"""What is chosen on the pages of results, all of it in the address: a choice can be shared."""

from dataclasses import replace
from typing import Any
from uuid import UUID

from django import forms
from django.http import QueryDict

from teamops.contests.models import Category
from teamops.insight.queries.choices import Choices, Selection
from teamops.insight.queries.days import dashed
from teamops.web.forms import FriendlyForm

ALL = "all"


def _years(years: list[int]) -> list[tuple[str, str]]:
    return [(str(year), str(year)) for year in years]


class ScoresForm(FriendlyForm, forms.Form):
    """Which results to list."""

    category = forms.TypedChoiceField(coerce=UUID, empty_value=None, required=False)
    season = forms.TypedChoiceField(coerce=int, empty_value=None, required=False)
    page = forms.IntegerField(min_value=1, required=False, widget=forms.HiddenInput)

    def __init__(
        self, *args: Any, categories: list[Category], seasons: list[int], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        names = [(str(row.pk), row.name) for row in categories]
        _choose(self, "category", [("", "every category"), *names])
        _choose(self, "season", [("", "every season"), *_years(seasons)])


class LedgerForm(FriendlyForm, forms.Form):
    """Which contests a points ledger is made of; what is not said is as `Choices.select` has it."""

    category = forms.TypedChoiceField(coerce=UUID, empty_value=None, required=False)
    rulebook = forms.TypedChoiceField(coerce=UUID, empty_value=None, required=False)
    season = forms.ChoiceField(required=False)
    since = forms.DateField(required=False, label="From")
    until = forms.DateField(required=False, label="To")

    def __init__(self, *args: Any, choices: Choices, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.choices = choices
        categories = [(str(pk), name) for pk, name in choices.categories()]
        rulebooks = [
            (str(pk), f"{name} ({count} contest{'' if count == 1 else 's'})")
            for pk, name, count in choices.rulebooks()
        ]
        _choose(self, "category", categories)
        _choose(self, "rulebook", rulebooks)
        _choose(self, "season", [(ALL, "all seasons"), *_years(choices.years())])

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        since, until = cleaned.get("since"), cleaned.get("until")
        if since and until and since > until:
            self.add_error("until", "The last day must not be before the first.")
        return cleaned

    def selection(self) -> Selection | None:
        """What was chosen, or the usual where nothing was; None where nothing has marks.

        Contests are left out by their ids; one that is unknown or misspelt leaves nothing out.
        """
        typed = self.cleaned_data if self.is_bound else {}
        usual = self.choices.select(typed.get("category"), typed.get("rulebook"))
        if usual is None:
            return None
        seasons = dict(self.choices.seasons(usual.category_id, usual.rulebook_id))
        season = usual.season
        if typed.get("season") == ALL:
            season = None
        elif typed.get("season") and int(typed["season"]) in seasons:
            season = int(typed["season"])
        out = self.data.getlist("out") if isinstance(self.data, QueryDict) else []
        return replace(
            usual,
            season=season,
            since=typed.get("since"),
            until=typed.get("until"),
            left_out=frozenset(filter(None, map(_contest_id, out))),
        )


def _choose(form: forms.Form, name: str, choices: list[tuple[str, str]]) -> None:
    field = form.fields[name]
    field.choices = choices  # type: ignore[attr-defined]
    message = "That is not one of the choices any more."
    field.error_messages["invalid_choice"] = field.error_messages["invalid"] = message


def _contest_id(text: str) -> str:
    try:
        return dashed(UUID(text).hex)
    except ValueError:
        return ""
