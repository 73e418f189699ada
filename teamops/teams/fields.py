"""Fields that hold on both databases."""

from typing import Any

from django import forms
from django.core.validators import ProhibitNullCharactersValidator
from django.db import models

from teamops.web.forms import PlainCharField


class PlainTextField(models.CharField):
    """
    Text with a length that both databases keep, and no NUL.

    SQLite would take text that is too long or holds NUL; PostgreSQL answers with an error.
    Long ones are typed in a text area.
    """

    default_validators = [
        ProhibitNullCharactersValidator("This text holds a character that cannot be stored.")
    ]

    def formfield(self, **kwargs: Any) -> forms.Field | None:
        if not self.choices:
            kwargs.setdefault("form_class", PlainCharField)
        if self.max_length and self.max_length > 200 and not self.choices:
            kwargs.setdefault("widget", forms.Textarea(attrs={"rows": 3}))
        return super().formfield(**kwargs)
