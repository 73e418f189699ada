"""What is chosen on the page of finish temperatures."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from django import forms
from django.forms.utils import ErrorList

from teamops.insight.forms import LedgerForm, Pick
from teamops.insight.queries.choices import Selection
from teamops.insight.queries.finish_cooks import Moment


class FinishForm(LedgerForm):
    """Which contests, which of the three temperatures, and which criterion is doneness.

    All seasons where none is chosen: temperatures need a spread.
    """

    moment = forms.ChoiceField(required=False)
    criterion = forms.IntegerField(required=False)

    field_words = (("moment", "Temperature"), ("criterion", "Doneness is"))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.offer("moment", [(moment.value, moment.label) for moment in Moment])
        wrong = "That is not one of the criteria."
        self.fields["criterion"].error_messages |= {"invalid": wrong}

    def selection(self) -> Selection | None:
        selection = super().selection()
        typed = self.cleaned_data if self.is_bound else {}
        if selection is None or typed.get("season"):
            return selection
        return replace(selection, season=None)

    @property
    def asked(self) -> tuple[Moment | None, int | None]:
        """The temperature and the criterion that were chosen, where they were."""
        typed = self.cleaned_data if self.is_bound else {}
        moment = typed.get("moment")
        return Moment(moment) if moment else None, typed.get("criterion")

    def own_pick(self, name: str, options: Sequence[tuple[str, str]], chosen: object) -> Pick:
        """A choice that the cooks themselves offer."""
        errors = self.errors.get(name, ErrorList())
        return Pick(name, dict(self.field_words)[name], list(options), str(chosen or ""), errors)
