"""Which photos are shown."""

from collections.abc import Iterator, Sequence
from typing import Any
from uuid import UUID

from django import forms
from django.http import QueryDict

from teamops.contests.models import Category
from teamops.insight.forms import ChoosingForm, Pick
from teamops.insight.queries.boxes import BEST, LATEST, BoxesAsked

LABELS = {"category": "Category", "cook": "Cooked by", "shows": "Photos of", "order": "In order of"}


class BoxesForm(ChoosingForm):
    """Category, cook, what the photos show, and their order; and two boxes to compare."""

    category = forms.TypedChoiceField(coerce=UUID, empty_value=None, required=False)
    cook = forms.ChoiceField(required=False)
    shows = forms.ChoiceField(required=False)
    order = forms.ChoiceField(required=False)
    page = forms.IntegerField(min_value=1, required=False, widget=forms.HiddenInput)

    def __init__(
        self,
        *args: Any,
        categories: Sequence[Category],
        cooks: list[tuple[str, str]],
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        names = [(str(row.pk), row.name) for row in categories]
        self.offer("category", [("", "every category"), *names])
        self.offer("cook", [("", "anybody"), *cooks])
        self.offer("shows", [("", "box and cut"), ("box", "the box"), ("cut", "the cut")])
        self.offer("order", [(BEST, "doneness mark, best first"), (LATEST, "date, latest first")])

    def picks(self) -> Iterator[Pick]:
        for name, label in LABELS.items():
            yield self.pick(name, self.cleaned_data.get(name), label)

    @property
    def asked(self) -> BoxesAsked:
        """What was chosen; a ticked box that is misspelt is none."""
        typed = self.cleaned_data
        ticked = self.data.getlist("compare") if isinstance(self.data, QueryDict) else []
        return BoxesAsked(
            category=typed.get("category"),
            cook=typed.get("cook", ""),
            shows=typed.get("shows", ""),
            order=typed.get("order") or BEST,
            page=typed.get("page") or 1,
            compare=tuple(filter(None, map(_box_id, ticked))),
        )


def _box_id(text: str) -> UUID | None:
    try:
        return UUID(text)
    except ValueError:
        return None
