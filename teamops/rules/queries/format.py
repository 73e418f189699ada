"""What each field of a rulebook's file is, in words; read from the model, so it stays true."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.db import models

from teamops.calc.words import opening
from teamops.rules.models import Criterion, Rulebook

OWN_WORDS = {
    "panels": "a list, where panels differ in their judges: name, expected and least of each",
    "tie_break": "a list of steps, first one first",
}


@dataclass(frozen=True, slots=True)
class FormatRow:
    """One field: how the file calls it, what it is, what may stand there."""

    name: str
    label: str
    kind: str


def format_rows(names: Sequence[str]) -> list[FormatRow]:
    """The rulebook's own fields, in the order of the file."""
    return [_row(Rulebook, name) for name in names]


def criterion_rows(names: Sequence[str]) -> list[FormatRow]:
    """A criterion's fields."""
    return [_row(Criterion, name) for name in names]


def _row(model: type[models.Model], name: str) -> FormatRow:
    field: Any = model._meta.get_field(name)
    return FormatRow(name, opening(str(field.verbose_name)), OWN_WORDS.get(name) or _kind(field))


def _kind(field: Any) -> str:
    if field.choices:
        told = [f"{value or 'empty'} ({label})" for value, label in field.choices]
        return "one of: " + ", ".join(told)
    match field:
        case models.DecimalField():
            kind = "a number between quotes"
        case models.IntegerField():
            kind = "a whole number"
        case models.DateField():
            kind = "a day, such as 2026-05-01, between quotes"
        case _:
            kind = f"a text of at most {field.max_length} letters"
    return f"{kind}, or null" if field.null else kind
