"""A rival's sheets, typed beside our own: a row a judge, a field a mark."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any, NamedTuple

from django import forms

from teamops.calc.words import opening
from teamops.insight.queries.rival import OurSide
from teamops.judging.forms.numbers import PaperNumberField
from teamops.rules.models import Criterion
from teamops.web.forms import FriendlyForm


class JudgeRow(NamedTuple):
    """One judge's fields in the order of the criteria; None where the panel has no such mark."""

    label: str
    cells: tuple[forms.BoundField | None, ...]


class RivalSheetsForm(FriendlyForm, forms.Form):
    """
    As many judges as ours, each with the criteria that our judge marked.

    Refuses only what is no number; blanks are blanks.
    """

    seen = forms.CharField(widget=forms.HiddenInput)

    def __init__(
        self, *args: Any, side: OurSide, criteria: Sequence[Criterion], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.side, self.criteria = side, criteria
        for place, sheet in enumerate(side.sheets):
            for row in criteria:
                if row.key in sheet.marks:
                    label = f"{opening(sheet.label)}, {row.name}"
                    field = self.fields[_name(place, row.key)] = PaperNumberField(label=label)
                    field.widget.attrs |= {"class": "mark", "aria-label": label}

    @classmethod
    def of(
        cls,
        typed: Sequence[Mapping[str, str]],
        seen: str,
        *,
        side: OurSide,
        criteria: Sequence[Criterion],
    ) -> "RivalSheetsForm":
        """The form with what is kept."""
        initial: dict[str, Any] = {
            _name(place, key): mark for place, row in enumerate(typed) for key, mark in row.items()
        }
        return cls(initial=initial | {"seen": seen}, side=side, criteria=criteria)

    @property
    def rows(self) -> list[JudgeRow]:
        """A row a judge."""
        return [
            JudgeRow(
                opening(sheet.label),
                tuple(
                    self[_name(place, row.key)] if _name(place, row.key) in self.fields else None
                    for row in self.criteria
                ),
            )
            for place, sheet in enumerate(self.side.sheets)
        ]

    def sheets(self) -> list[dict[str, Decimal | None]]:
        """What was typed, judge by judge."""
        return [
            {
                row.key: self.cleaned_data[name]
                for row in self.criteria
                if (name := _name(place, row.key)) in self.fields
            }
            for place in range(len(self.side.sheets))
        ]


def _name(place: int, key: str) -> str:
    return f"m-{place}-{key}"
