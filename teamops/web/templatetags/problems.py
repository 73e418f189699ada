"""Where to look after an error: every form of a page with what is wrong, in one place."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from django import forms, template
from django.forms.formsets import BaseFormSet
from django.template import Context

register = template.Library()


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that needs a look: where it is, and what is wrong; `anchor` may be empty."""

    anchor: str
    label: str
    words: str


@register.inclusion_tag("web/problems.html", takes_context=True)
def problems(context: Context) -> dict[str, Any]:
    """Say what needs a look in the forms that the view has checked and found wrong.

    Every page gets it at its top from base.html, whatever its forms are called; a form that nobody
    has checked yet says nothing.
    """
    values = list(context.flatten().values())
    found = [Problem("", "", words) for words in _of_sets(values)]
    found += [row for form in _checked(values) for row in _problems(form)]
    return {"problems": list(dict.fromkeys(found))}


def _of_sets(values: Iterable[Any]) -> Iterator[str]:
    """What is wrong with a set of forms as a whole, where it was checked."""
    for value in values:
        if issubclass(type(value), BaseFormSet) and value._non_form_errors:
            yield from value._non_form_errors


def _checked(values: Iterable[Any]) -> list[forms.BaseForm]:
    """The bound forms among these that were checked, each once."""
    found: dict[int, forms.BaseForm] = {}
    for value in values:
        kind = type(value)  # isinstance would wake what is lazy, such as the user
        if issubclass(kind, forms.BaseForm):
            found[id(value)] = value
        elif issubclass(kind, BaseFormSet) and value.is_bound:
            found |= {id(form): form for form in value.forms}
    return [form for form in found.values() if vars(form)["_errors"]]


def _problems(form: forms.BaseForm) -> Iterator[Problem]:
    for words in form.non_field_errors():
        yield Problem("", "", str(words))
    for field in form:
        label = str(field.label) if field.label and not field.is_hidden else ""
        for words in field.errors:
            yield Problem("" if field.is_hidden else _anchor(field), label, str(words))


def _anchor(field: forms.BoundField) -> str:
    """The id of the first thing in the field that can be typed in or chosen."""
    return field.id_for_label or f"{field.auto_id}_0"
