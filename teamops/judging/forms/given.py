"""A total for each criterion, where that is what the organiser gave."""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any

from django import forms

from teamops.judging.forms.numbers import PaperNumberField
from teamops.rules.models import Criterion

PREFIX = "given"


class CriterionTotalsForm(forms.Form):
    """A field a criterion; only asked for where no judge's mark is known."""

    def __init__(
        self,
        *args: Any,
        criteria: Sequence[Criterion],
        stored: Mapping[int, Decimal | None] | None = None,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.prefix = PREFIX
        self.criteria = criteria
        for criterion in criteria:
            panel = f" ({criterion.panel})" if criterion.panel else ""
            field = PaperNumberField(label=f"{criterion.name}{panel}", digits=6, places=4)
            field.initial = (stored or {}).get(criterion.pk)
            self.fields[f"t{criterion.pk}"] = field

    @property
    def lines(self) -> Iterator[forms.BoundField]:
        """The fields in print order."""
        return (self[f"t{criterion.pk}"] for criterion in self.criteria)

    @property
    def is_filled(self) -> bool:
        """Whether any of them holds something, so that its fold opens."""
        return any(field.value() not in (None, "") for field in self.lines)

    @property
    def totals(self) -> dict[int, Decimal | None]:
        """What was given, by criterion id."""
        return {row.pk: self.cleaned_data[f"t{row.pk}"] for row in self.criteria}

    @property
    def is_shown(self) -> bool:
        """Whether the page has these fields."""
        return not self.is_bound or self.was_asked

    @property
    def was_asked(self) -> bool:
        """Whether the page that was sent had these fields at all."""
        return any(self.add_prefix(f"t{row.pk}") in self.data for row in self.criteria)
