"""A form and the action that keeps its row."""

from collections.abc import Callable
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from teamops.web.forms import refuse


def saved(form: forms.ModelForm, save: Callable[[Any], object]) -> bool:
    """Whether what was sent is kept now; an action's refusal is put on the form beside its own.

    `save` gets the row as typed. A form that was not sent is left as it is.
    """
    if not form.is_valid():
        return False
    try:
        save(form.save(commit=False))
    except ValidationError as error:
        refuse(form, error)
        return False
    return True
