"""How forms look and what their date fields take."""

from typing import Any

from django import forms
from django.forms.renderers import TemplatesSetting


class Renderer(TemplatesSetting):
    """Every field with its label, its help and its error beside it."""

    form_template_name = "web/form.html"
    field_template_name = "web/field.html"


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


class FriendlyForm:
    """Mixed into forms: browsers' date pickers, and numbers that bring up a number pad."""

    fields: dict[str, forms.Field]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for field in self.fields.values():
            if isinstance(field, forms.DateTimeField):
                field.widget = DateTimeInput(attrs=field.widget.attrs)
            elif isinstance(field, forms.DateField):
                field.widget = DateInput(attrs=field.widget.attrs)
            elif isinstance(field, forms.IntegerField | forms.DecimalField):
                # a text field with a number pad: a browser's number field empties itself, and
                # says nothing, when it is given letters
                choices = getattr(field.widget, "choices", None)
                if choices is None and not field.widget.is_hidden:
                    mode = "numeric" if isinstance(field, forms.IntegerField) else "decimal"
                    field.widget = forms.TextInput(attrs=field.widget.attrs | {"inputmode": mode})
