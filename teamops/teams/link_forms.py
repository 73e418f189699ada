"""What is asked about a link."""

from django import forms

from teamops.teams.models import ListLink
from teamops.web.forms import FriendlyForm


class ShareForm(FriendlyForm, forms.ModelForm):
    """For whom a link to a list is, and what it lets them do."""

    class Meta:
        model = ListLink
        fields = ["label", "may"]
        labels = {"may": "They may"}
        widgets = {"may": forms.RadioSelect}
        help_texts = {"label": "Their name: what they tick is shown as done by their link."}


class CalendarForm(FriendlyForm, forms.ModelForm):
    """Whose calendar takes the team's dates."""

    class Meta:
        model = ListLink
        fields = ["label"]
        labels = {"label": "For whom or which device"}
        help_texts = {"label": "A reminder for you, such as: my phone."}
