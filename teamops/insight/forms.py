"""What is chosen on the pages of results, all of it in the address: a choice can be shared."""

from collections.abc import Iterator
from dataclasses import replace
from operator import itemgetter
from typing import Any, NamedTuple
from uuid import UUID

from django import forms
from django.forms.utils import ErrorList
from django.http import QueryDict

from teamops.contests.models import Category
from teamops.insight.queries.choices import Choices, Selection
from teamops.insight.queries.compare_groups import dimensions
from teamops.insight.queries.days import dashed
from teamops.insight.queries.narrow import FIELDS, GUESTS, RAIN, WIND, air_words
from teamops.insight.words import count_words
from teamops.web.forms import FriendlyForm

ALL = "all"
LABELS = {"cook": "Cooked by", "place": "Place", "rain": "Rain", "wind": "Wind", "air": "Air"}


class Pick(NamedTuple):
    """A choice as its page prints it: what can be chosen, what is, and what is wrong with it."""

    name: str
    label: str
    options: list[tuple[str, str]]
    chosen: str
    errors: ErrorList


class ChoosingForm(FriendlyForm, forms.Form):
    """A form whose choices always stand on something."""

    def offer(self, name: str, options: list[tuple[str, str]]) -> None:
        """Say what can be chosen; anything else is refused in plain words."""
        field = self.fields[name]
        field.choices = options  # type: ignore[attr-defined]
        message = "That is not one of the choices any more."
        field.error_messages["invalid_choice"] = field.error_messages["invalid"] = message

    def pick(self, name: str, chosen: object, label: str = "") -> Pick:
        field = self.fields[name]
        options = list(field.choices)  # type: ignore[attr-defined]
        errors = self.errors.get(name, ErrorList())
        return Pick(name, label or name.capitalize(), options, str(chosen or ""), errors)


class ScoresForm(ChoosingForm):
    """Which results to list."""

    category = forms.TypedChoiceField(coerce=UUID, empty_value=None, required=False)
    season = forms.TypedChoiceField(coerce=int, empty_value=None, required=False)
    page = forms.IntegerField(min_value=1, required=False, widget=forms.HiddenInput)

    def __init__(
        self, *args: Any, categories: list[Category], seasons: list[int], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        names = [(str(row.pk), row.name) for row in categories]
        self.offer("category", [("", "every category"), *names])
        self.offer("season", [("", "every season"), *_years(seasons)])

    def picks(self) -> Iterator[Pick]:
        """Category and season, on what was chosen."""
        for name in ("category", "season"):
            yield self.pick(name, self.cleaned_data.get(name))


class LedgerForm(ChoosingForm):
    """Which contests a points ledger is made of; what is not said is as `Choices.select` has it."""

    category = forms.TypedChoiceField(coerce=UUID, empty_value=None, required=False)
    rulebook = forms.TypedChoiceField(coerce=UUID, empty_value=None, required=False)
    season = forms.ChoiceField(required=False)
    since = forms.DateField(required=False, label="From")
    until = forms.DateField(required=False, label="To")
    cook = forms.ChoiceField(required=False)
    place = forms.ChoiceField(required=False)
    rain = forms.ChoiceField(required=False)
    wind = forms.ChoiceField(required=False)
    air = forms.ChoiceField(required=False)

    def __init__(self, *args: Any, choices: Choices, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.choices = choices
        self.offer("category", [(str(pk), name) for pk, name in choices.categories()])
        self.offer("rulebook", [(str(pk), name) for pk, name, _ in choices.rulebooks()])
        self.offer("season", [(ALL, "all seasons"), *_years(choices.years())])
        for name, options in _narrowing(choices).items():
            self.offer(name, [("", "any"), *options])

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        since, until = cleaned.get("since"), cleaned.get("until")
        if since and until and since > until:
            self.add_error("until", "The last day must not be before the first.")
        return cleaned

    def picks(self) -> Iterator[Pick]:
        """Category, rulebook and season, on what the ledger is made of.

        A rulebook says how many contests of the chosen category and days were judged by it.
        """
        selection = self.selection()
        if selection is not None:
            asked = (selection.category_id, selection.days, selection.narrow)
            books = self.choices.rulebooks(*asked)
            told = {str(pk): f" ({count_words(count, 'contest')})" for pk, _, count in books}
            rulebook = self.pick("rulebook", selection.rulebook_id)
            options = [(pk, f"{name}{told.get(pk, '')}") for pk, name in rulebook.options]
            yield self.pick("category", selection.category_id)
            yield rulebook._replace(options=options)
            yield self.pick("season", selection.season or ALL)

    def narrowing(self) -> list[Pick]:
        """Cook, place and weather, where the contests tell two apart or one was chosen."""
        picks = [self.pick(name, self.data.get(name), LABELS[name]) for name in FIELDS]
        return [pick for pick in picks if len(pick.options) > 2 or pick.chosen]

    @property
    def is_narrowed(self) -> bool:
        """Whether anything of it was chosen, or refused."""
        return any(self.data.get(name) for name in FIELDS)

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
            narrow=self.choices.narrow(typed),
        )


class CompareForm(LedgerForm):
    """Which groups of a ledger's contests to hold side by side."""

    by = forms.ChoiceField(required=False)

    def __init__(self, *args: Any, choices: Choices, **kwargs: Any) -> None:
        super().__init__(*args, choices=choices, **kwargs)
        self.dimensions = dimensions(choices)
        self.offer("by", list(self.dimensions.items()))

    @property
    def dimension(self) -> str:
        """What tells the groups apart: as chosen, else the first that does; empty if nothing."""
        typed = self.cleaned_data.get("by") if self.is_bound else ""
        return typed or next(iter(self.dimensions), "")

    def sides(self) -> list[Pick]:
        """The choice of the dimension."""
        return [self.pick("by", self.dimension, "Side by side, by")] if self.dimensions else []


def _narrowing(choices: Choices) -> dict[str, list[tuple[str, str]]]:
    """What a ledger can be narrowed to, by the field's name; only what some contest has."""
    cooks = sorted(choices.cooks.items(), key=itemgetter(1))
    guests = [(GUESTS, "guests")] * any(group.cook == GUESTS for group in choices.groups)
    words = {"rain": RAIN, "wind": WIND, "air": air_words(choices.units)}
    weather = {
        name: [pair for pair in said.items() if pair[0] in choices.noted(name)]
        for name, said in words.items()
    }
    places = [(key, spelled[0]) for key, spelled in choices.places().items()]
    return {"cook": [*cooks, *guests], "place": places, **weather}


def _years(years: list[int]) -> list[tuple[str, str]]:
    return [(str(year), str(year)) for year in years]


def _contest_id(text: str) -> str:
    try:
        return dashed(UUID(text).hex)
    except ValueError:
        return ""
