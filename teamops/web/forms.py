"""How forms look and what their date fields take."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.validators import ProhibitNullCharactersValidator
from django.forms.renderers import DjangoTemplates, TemplatesSetting
from django.forms.utils import flatatt
from django.template import TemplateDoesNotExist
from django.utils.html import format_html
from django.utils.safestring import SafeString


class Renderer(TemplatesSetting):
    """Every field with its label, its help and its error beside it."""

    form_template_name = "web/form.html"
    field_template_name = "web/field.html"

    def get_template(self, template_name: str) -> Any:
        """Look among our templates first, then among those that come with Django's forms."""
        try:
            return super().get_template(template_name)
        except TemplateDoesNotExist:
            return _DJANGO.get_template(template_name)


_DJANGO = DjangoTemplates()


class PlainCharField(forms.CharField):
    """Text without the one character that PostgreSQL cannot keep, refused in plain words."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        for place, check in enumerate(self.validators):
            if isinstance(check, ProhibitNullCharactersValidator):
                self.validators[place] = ProhibitNullCharactersValidator(
                    "This holds a character that cannot be stored. Type it again."
                )


class DateInput(forms.DateInput):
    """A date as browsers ask for it."""

    input_type = "date"

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(format="%Y-%m-%d", **kwargs)


class DateTimeInput(forms.DateTimeInput):
    """A date and time as browsers ask for it, on the contest's own clock."""

    input_type = "datetime-local"

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(format="%Y-%m-%dT%H:%M", **kwargs)


class TimeInput(forms.TimeInput):
    """A time of day as browsers ask for it."""

    input_type = "time"

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(format="%H:%M", **kwargs)


class FriendlyForm:
    """Mixed into forms: browsers' pickers of days and times, numbers that bring up a pad."""

    fields: dict[str, forms.Field]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for field in self.fields.values():
            if isinstance(field, forms.DateTimeField):
                field.widget = DateTimeInput(attrs=field.widget.attrs)
            elif isinstance(field, forms.DateField):
                field.widget = DateInput(attrs=field.widget.attrs)
            elif isinstance(field, forms.TimeField):
                field.widget = TimeInput(attrs=field.widget.attrs)
            elif isinstance(field, forms.IntegerField):
                # a text field with a number pad: a browser's number field empties itself, and
                # says nothing, when it is given letters
                choices = getattr(field.widget, "choices", None)
                if choices is None and not field.widget.is_hidden:
                    field.widget = _number_pad(field)


def _number_pad(field: forms.IntegerField) -> forms.TextInput:
    """A text field that brings up digits, with a point where the number may have one."""
    whole = not isinstance(field, forms.DecimalField | forms.FloatField)  # both are IntegerFields
    for_numbers_only = {"step", "min", "max"}
    attrs = {key: value for key, value in field.widget.attrs.items() if key not in for_numbers_only}
    return forms.TextInput(attrs=attrs | {"inputmode": "numeric" if whole else "decimal"})


def refuse(form: forms.BaseForm, refusal: ValidationError, field: str | None = None) -> None:
    """
    Put an action's refusal on the form that asked for it.

    Errors by field go beside their fields; one without a field, or for a field that the form does
    not have, goes beside `field`, or on top of the form.
    """
    if not hasattr(refusal, "error_dict"):
        form.add_error(field, refusal)
        return
    for name, errors in refusal.error_dict.items():
        form.add_error(name if name in form.fields else field, errors)


class ReadyInput(forms.TextInput):
    """A text input written as a ready string: a grid of them costs a tenth of as many templates."""

    def render(
        self, name: str, value: Any, attrs: dict[str, Any] | None = None, renderer: Any = None
    ) -> SafeString:
        own = self.get_context(name, value, attrs)["widget"]
        given = {} if own["value"] is None else {"value": own["value"]}
        listed = {"type": own["type"], "name": own["name"]} | given | own["attrs"]
        return format_html("<input{}>", flatatt(listed))


class ReadyHiddenInput(ReadyInput):
    """A hidden one of the same kind."""

    input_type = "hidden"
