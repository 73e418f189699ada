"""What the page of a better mark is asked: steps for the marks, and the next contest."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any
from uuid import UUID

from django import forms
from django.core.exceptions import ValidationError

from teamops.calc.scoring import step_words
from teamops.calc.words import plain
from teamops.insight.forms import ChoosingForm, Pick
from teamops.insight.queries.placing import Chosen, Offers, posting_words
from teamops.judging.forms.numbers import read_number
from teamops.rules.models import Criterion
from teamops.web.forms import FriendlyForm, ReadyInput

PREFIX = "step-"
MINUS = ("-", "−", "–")
MOST_PRIZES = 999


class StepField(forms.Field):
    """
    How far the marks of a criterion move, up or down; nothing typed is no move.

    Refuses (ValidationError) what is no number, what its scale has no marks for, and more than the
    scale is long.
    """

    def __init__(self, criterion: Criterion, **kwargs: Any) -> None:
        self.criterion = criterion
        attrs = {"inputmode": "decimal", "autocomplete": "off", "form": "choose", "class": "step"}
        super().__init__(
            required=False, label=criterion.name, widget=ReadyInput(attrs=attrs), **kwargs
        )

    def to_python(self, value: Any) -> Decimal:
        if isinstance(value, Decimal):
            return value
        text = str(value or "").strip()
        down = text.startswith(MINUS)
        number = read_number(text[down or text.startswith("+") :], digits=4, places=3) or Decimal(0)
        return -number if down else number

    def validate(self, value: Any) -> None:
        row = self.criterion
        if row.step and value % row.step:
            raise ValidationError(
                f"{row.name} is given in {step_words(row.step)}; {plain(abs(value))} is in between."
            )
        if row.most is not None and row.least is not None and abs(value) > row.most - row.least:
            raise ValidationError(f"{row.name} goes from {plain(row.least)} to {plain(row.most)}.")

    def prepare_value(self, value: Any) -> Any:
        """Show a step plainly, and what was typed as it was typed."""
        return plain(value) if isinstance(value, Decimal) else value


class StepsForm(FriendlyForm, forms.Form):
    """A step for each criterion, 0 where nothing is said."""

    def __init__(self, data: Any, *args: Any, criteria: Sequence[Criterion], **kwargs: Any) -> None:
        said = data and any(f"{PREFIX}{row.key}" in data for row in criteria)
        super().__init__(data if said else None, *args, **kwargs)
        for criterion in criteria:
            self.fields[f"{PREFIX}{criterion.key}"] = StepField(criterion)

    def show(self, moves: Mapping[str, Decimal]) -> None:
        """Show these steps where nothing was typed, and 0 beside them."""
        self.initial = {
            name: moves.get(name.removeprefix(PREFIX), Decimal(0)) for name in self.fields
        }

    def moves(self) -> dict[str, Decimal] | None:
        """The steps that are not 0, by criterion key; None where nothing was said."""
        if not self.is_bound:
            return None
        cleaned = self.cleaned_data
        return {name.removeprefix(PREFIX): step for name, step in cleaned.items() if step}


class ComingForm(ChoosingForm):
    """A coming contest or none, a field that was posted, a change or none, and what pays."""

    coming = forms.TypedChoiceField(coerce=UUID, empty_value=None, required=False)
    field = forms.TypedChoiceField(coerce=UUID, empty_value=None, required=False)
    change = forms.TypedChoiceField(coerce=UUID, empty_value=None, required=False)
    prizes = forms.IntegerField(
        label="How many places pay",
        required=False,
        min_value=1,
        max_value=MOST_PRIZES,
        error_messages={
            "invalid": "Write a whole number, such as 3.",
            "min_value": "Counting starts at 1.",
            "max_value": f"No contest pays more than {MOST_PRIZES} places.",
        },
    )
    LABELS = {"coming": "Next contest", "field": "A field like", "change": "With the change"}
    USUAL_PRIZES = 3

    def __init__(self, data: Any, *args: Any, found: Offers, **kwargs: Any) -> None:
        super().__init__(_without_gone(data, found), *args, **kwargs)
        self.found = found
        coming = [(str(row.pk), f"{row.name}, {_day(row.held_on)}") for row in found.coming]
        self.offer("coming", [("", "no one in particular"), *coming])
        self.offer("field", [(str(row.pk), posting_words(row)) for row in found.postings])
        self.offer("change", [("", "none"), *((str(row.pk), row.what) for row in found.changes)])
        self.fields["prizes"].widget.attrs |= {"form": "choose", "autocomplete": "off"}

    def picks(self) -> list[Pick]:
        """The three choices, on what was chosen."""
        return [self.pick(name, self.data.get(name), label) for name, label in self.LABELS.items()]

    @property
    def prizes_said(self) -> Any:
        """What stands in the field of places that pay."""
        return self.data.get("prizes") or self.USUAL_PRIZES

    def chosen(self) -> Chosen | None:
        """What is asked; the latest list where none was chosen, None where there is no list."""
        asked = self.cleaned_data if self.is_bound else {}
        postings = {row.pk: row for row in self.found.postings}
        if not postings:
            return None
        listed = asked.get("field")
        return Chosen(
            coming=_one_of(self.found.coming, asked.get("coming")),
            posting=postings[listed if listed in postings else next(iter(postings))],
            change=_one_of(self.found.changes, asked.get("change")),
            prizes=asked.get("prizes") or self.USUAL_PRIZES,
        )


def _without_gone(data: Any, found: Offers) -> Any:
    """What was asked, without what another category had: its choice is then the usual one."""
    if not data:
        return None
    rows = {"coming": found.coming, "field": found.postings, "change": found.changes}
    kept = data.copy()
    for name, some in rows.items():
        if _is_id(kept.get(name, "")) and _one_of(some, UUID(kept[name])) is None:
            kept[name] = ""
    return kept


def _is_id(text: str) -> bool:
    try:
        return bool(UUID(text))
    except ValueError:
        return False


def _one_of(rows: Sequence[Any], pk: UUID | None) -> Any:
    return next((row for row in rows if row.pk == pk), None)


def _day(day: Any) -> str:
    return f"{day.day} {day:%b %Y}"
