"""What the organiser posted about a box, and the page that sends a table."""

from typing import Any

from django import forms
from django.core.validators import MaxValueValidator
from django.forms.utils import ErrorList
from django.utils.safestring import SafeString

from teamops.contests.models import Entry
from teamops.judging.actions import OFFICIAL
from teamops.judging.forms.numbers import PaperNumberField
from teamops.web.forms import FriendlyForm, ReadyHiddenInput, ReadyInput

# the column's own limit, which SQLite would not keep
LARGEST = MaxValueValidator(32767, "No field is that large: check the number.")


class PageForm(forms.Form):
    """Which page sends this: what it had seen saved, and its own id."""

    seen = forms.IntegerField(min_value=0)
    op = forms.UUIDField()


class QuietErrors(ErrorList):
    """Errors beside their fields; where there are none, no template is asked to say so."""

    def render(self, *args: Any, **kwargs: Any) -> SafeString:
        return super().render(*args, **kwargs) if self else SafeString("")

    __str__ = __html__ = render


class PostedForm(FriendlyForm, forms.ModelForm):
    """
    The posted total, placing and field, a disqualification, and the table that judged the box.

    Only what was changed on this page is written: each field carries what it showed at first.
    """

    official_total = PaperNumberField(label="Posted total", digits=6, places=4)
    table = forms.CharField(label="Table", required=False, max_length=20)

    class Meta:
        model = Entry
        fields = OFFICIAL

    field_order = ("table", *OFFICIAL)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, error_class=QuietErrors, **kwargs)
        for name, field in self.fields.items():
            field.show_hidden_initial = name in OFFICIAL
            field.hidden_widget = ReadyHiddenInput
            if type(field.widget) is forms.TextInput:
                field.widget = ReadyInput(field.widget.attrs)
            field.widget.attrs["autocomplete"] = "off"
        # by it the style sheet sees that nothing is typed: the reason waits for the tick above it
        self.fields["disqualified_why"].widget.attrs["placeholder"] = " "
        for name in ("placing", "field_size"):
            self.fields[name].error_messages |= {
                "invalid": "Write a whole number, such as 7.",
                "min_value": "Counting starts at 1.",
            }
            self.fields[name].validators.append(LARGEST)

    @property
    def official(self) -> dict[str, Any]:
        """What was changed of what the organiser posts."""
        return {name: self.cleaned_data[name] for name in self.changed_data if name in OFFICIAL}
