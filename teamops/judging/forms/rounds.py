"""The rounds of a score table: what each is called, and which table judged it."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from django import forms
from django.http import QueryDict

from teamops.judging.models import ScoreSheet
from teamops.web.forms import ReadyInput

MOST_ROUNDS = 5
COUNT = "rounds"  # the page says how many it shows
NEXT_NAMES = ("", "Final", "Final 2", "Final 3", "Final 4")


class RoundForm(forms.Form):
    """One round of an entry's judging."""

    name = forms.CharField(
        label="This round is called",
        required=False,
        max_length=40,
        widget=ReadyInput(attrs={"autocomplete": "off"}),
    )
    table = forms.CharField(
        label="Table",
        required=False,
        max_length=20,
        widget=ReadyInput(attrs={"autocomplete": "off"}),
    )


class RoundForms:
    """
    The rounds that a page shows, first one first; there is always one.

    The first round's table is asked for with what was posted, so that one round needs nothing
    here. Two rounds of one name cannot be told apart and are refused.
    """

    def __init__(
        self,
        data: QueryDict | None = None,
        initial: Sequence[Mapping[str, Any]] = ({},),
        count: int | None = None,
    ) -> None:
        said = str(data.get(COUNT, "1")) if data is not None else ""
        known = int(said) if said.isascii() and said.isdecimal() and len(said) < 3 else 1
        number = len(initial) if data is None else count or known
        self.forms = [
            RoundForm(data, prefix=f"{COUNT}-{index}", initial=_start(initial, index))
            for index in range(max(1, min(number, MOST_ROUNDS)))
        ]

    @classmethod
    def of(cls, sheets: Sequence[ScoreSheet]) -> "RoundForms":
        """The rounds of stored sheets, in their order."""
        tables: dict[str, str] = {}
        for sheet in sheets:
            tables[sheet.round] = tables.get(sheet.round) or sheet.table
        rounds = [{"name": name, "table": table} for name, table in tables.items()]
        return cls(initial=rounds[:MOST_ROUNDS] or [{}])

    def __iter__(self) -> Iterator[RoundForm]:
        return iter(self.forms)

    def __len__(self) -> int:
        return len(self.forms)

    def is_valid(self) -> bool:
        """Whether every round can be kept; each form says what cannot."""
        checked = [form.is_valid() for form in self.forms]
        valid = all(checked)
        seen: set[str] = set()
        for form in self.forms if valid else ():
            name = form.cleaned_data["name"].casefold()
            if name in seen:
                form.add_error("name", "Two rounds are called the same. Name this one.")
            seen.add(name)
        return valid and not any(form.errors for form in self.forms)

    def of_row(self, number: int, first_table: str) -> tuple[str, str]:
        """The table and the name of a row's round."""
        place = min(number, len(self.forms) - 1)
        form = self.forms[place]
        table = form.cleaned_data["table"] if place else first_table
        return table, form.cleaned_data["name"]

    @property
    def can_grow(self) -> bool:
        """Whether the page takes another round."""
        return len(self.forms) < MOST_ROUNDS


def _start(initial: Sequence[Mapping[str, Any]], index: int) -> dict[str, Any]:
    """What a round's fields hold at first."""
    return dict(initial[index]) if index < len(initial) else {}


def rounds_shown(data: QueryDict) -> int:
    """How many rounds a sent page shows."""
    return len(RoundForms(data))


def with_another_round(data: QueryDict) -> QueryDict:
    """What was typed, with a round more, named as the next one usually is."""
    data = data.copy()
    count = rounds_shown(data)
    if count < MOST_ROUNDS:
        data[COUNT] = str(count + 1)
        data[f"{COUNT}-{count}-name"] = NEXT_NAMES[count]
        data[f"{COUNT}-{count}-table"] = ""
    return data
