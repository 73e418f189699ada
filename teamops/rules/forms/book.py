"""The fields of a rulebook, of a criterion and of a panel."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.db import models

from teamops.rules.checks import MOST_JUDGES
from teamops.rules.models import Criterion, Rulebook
from teamops.web.forms import FriendlyForm, PlainCharField

# What is asked where; the page prints them in this order.
NAMED = ("name", "edition", "source")
COUNTED = ("sheets_expected", "drop_scope", "drop_low", "drop_high", "aggregate", "missing_sheet")
FOLDED = (
    "sheets_least", "factor", "round_where", "round_places", "outlier_distance", "penalty_mark",
    "max_spread", "direction", "place_method", "rounds", "valid_from", "valid_to",
)  # fmt: skip
TURNED_IN = (
    "window_minutes", "late", "late_points", "late_grace_seconds", "lateness", "protest_minutes",
)  # fmt: skip
BOXED = (
    "piece", "pieces_least", "pieces_most", "garnish", "garnish_words", "sauce", "sauce_words",
    "box_rules",
)  # fmt: skip
ARITHMETIC = {*COUNTED, *FOLDED} - {"valid_from", "valid_to"}
LABELS = {
    "drop_scope": "What does not count",
    "drop_low": "Lowest left out",
    "drop_high": "Highest left out",
    "aggregate": "The total is the",
    "missing_sheet": "A sheet that never comes",
    "factor": "Times",
    "round_where": "What is rounded",
    "round_places": "To how many places",
    "outlier_distance": "Leave out what is further than this from the mean",
    "max_spread": "Point out sheets further apart than",
    "direction": "Who wins",
    "place_method": "After a shared place",
    "rounds": "A box judged twice",
    "valid_from": "Valid from",
    "valid_to": "Valid to",
    "window_minutes": "Turn-in window, in minutes",
    "protest_minutes": "Minutes to protest",
}
HELP = {
    "name": "What you call it. A contest’s own name is fine.",
    "factor": "The sum is multiplied by this; 1 leaves it as it is.",
    "outlier_distance": "In points. Leave it open if every sheet counts.",
    "penalty_mark": "A mark below the scale that judges give for a fault, such as 1 under 2–9.",
    "max_spread": "In points. Only points out sheets that lie further apart.",
    "rounds": "When some boxes go on to a final table.",
    "window_minutes": "From when it opens to when it closes.",
    "late_points": "Where a late box loses points.",
    "late_grace_seconds": "Where a box that is a few seconds late still counts as in time.",
    "protest_minutes": "How long you may protest once you have your sheets.",
    "piece": "One whole steak, for example.",
    "box_rules": "No string, pick, foil or probe, for example; and how it must lie.",
}


class NumberField(forms.DecimalField):
    """A number that may be typed with a comma."""

    def to_python(self, value: Any) -> Any:
        return super().to_python(value.replace(",", ".") if isinstance(value, str) else value)


def _numbers(model: type[models.Model], names: Sequence[str]) -> dict[str, type[forms.Field]]:
    """The fields among these that take a number with a point, or a comma."""
    fields = [model._meta.get_field(name) for name in names]
    return {f.name: NumberField for f in fields if isinstance(f, models.DecimalField)}


class BookForm(FriendlyForm, forms.ModelForm):
    """The rulebook's own fields; what is left open gets its usual value."""

    class Meta:
        model = Rulebook
        fields = [*NAMED, *COUNTED, *FOLDED, *TURNED_IN, *BOXED, "exception_why"]
        field_classes = _numbers(Rulebook, fields)

    def __init__(self, *args: Any, exception: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            field.help_text = HELP.get(name, field.help_text)
            field.label = LABELS.get(name, field.label)
            field.widget.attrs["autocomplete"] = "off"
            if not isinstance(field.widget, forms.Select) and self._usual(name) is not None:
                field.required = name == "sheets_expected"
        if exception:
            self.fields["exception_why"].required = True
            self.fields["exception_why"].label = "Why this contest does it differently"
        else:
            del self.fields["exception_why"]
        self.fields["name"].error_messages["required"] = "Give the rulebook a name."

    @staticmethod
    def _usual(name: str) -> Any:
        field: Any = Rulebook._meta.get_field(name)
        return field.get_default() if field.has_default() and not field.null else None

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for name, value in cleaned.items():
            if value is None and self._usual(name) is not None:
                cleaned[name] = self._usual(name)
        return cleaned

    def clean_sheets_expected(self) -> int:
        judges: int = self.cleaned_data["sheets_expected"]
        if judges > MOST_JUDGES:
            raise forms.ValidationError(f"More than {MOST_JUDGES} judges do not sit at one table.")
        return judges

    def named(self) -> list[forms.BoundField]:
        first = ("exception_why",) if "exception_why" in self.fields else ()
        return [self[name] for name in (*first, *NAMED)]

    def counted(self) -> list[forms.BoundField]:
        return [self[name] for name in COUNTED]

    def folded(self) -> list[forms.BoundField]:
        return [self[name] for name in FOLDED]

    def turned_in(self) -> list[forms.BoundField]:
        return [self[name] for name in TURNED_IN]

    def boxed(self) -> list[forms.BoundField]:
        return [self[name] for name in BOXED]


class CriterionForm(FriendlyForm, forms.ModelForm):
    """One thing judges mark; scale and step may be left open, a weight left open is 1."""

    class Meta:
        model = Criterion
        fields = ["key", "name", "weight", "least", "most", "step", "panel"]
        labels = {"least": "lowest", "most": "highest"}
        field_classes = _numbers(Criterion, fields)

    prefix = "c"

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for field in self.fields.values():
            field.widget.attrs["autocomplete"] = "off"
        self.fields["key"].widget = forms.HiddenInput()
        self.fields["key"].error_messages["invalid"] = "This row’s short name is not one."
        self.fields["weight"].required = False
        self.fields["panel"].widget.attrs["list"] = "panels"

    def clean_weight(self) -> Any:
        weight = self.cleaned_data["weight"]
        return 1 if weight is None else weight

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        low, high, step = (cleaned.get(name) for name in ("least", "most", "step"))
        if low is not None and high is not None and low >= high:
            self.add_error("most", "The lowest mark must be below the highest.")
        if step is not None and step <= 0:
            self.add_error("step", "A step must be above 0.")
        return cleaned


class PanelForm(FriendlyForm, forms.Form):
    """One group of judges with a sheet of its own."""

    prefix = "p"

    name = PlainCharField(label="Panel", max_length=40)
    expected = forms.IntegerField(label="judges", min_value=1, max_value=MOST_JUDGES)
    least = forms.IntegerField(label="fewest sheets", min_value=1, required=False)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        due, least = cleaned.get("expected"), cleaned.get("least") or 1
        if due and least > due:
            self.add_error("least", "A total cannot need more sheets than judges.")
        return cleaned | {"least": least}
