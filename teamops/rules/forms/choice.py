"""A rulebook to choose, the team's own before those that all share."""

from collections.abc import Iterator
from typing import Any

from django import forms
from django.forms.models import ModelChoiceIterator

from teamops.rules.models import Rulebook
from teamops.rules.queries import grouped_label

GROUPS = (("Your own", False), ("Shared by all teams", True))


class ByOwner(ModelChoiceIterator):
    """The rulebooks under a heading each for the team's own and the shared ones."""

    def __iter__(self) -> Iterator[Any]:
        if self.field.empty_label is not None:
            yield "", self.field.empty_label
        books = list(self.queryset)
        for heading, shared in GROUPS:
            group = [self.choice(book) for book in books if book.is_shared is shared]
            if group:
                yield heading, group


class RulebookChoice(forms.ModelChoiceField):
    """A rulebook, named with its criteria and judges: two may have nearly the same name."""

    iterator = ByOwner

    def label_from_instance(self, obj: Rulebook) -> str:
        return grouped_label(obj)
