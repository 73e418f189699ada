"""What the team does differently from a day on."""

from django import forms

from teamops.judging.models import Change
from teamops.web.forms import FriendlyForm


class ChangeForm(FriendlyForm, forms.ModelForm):
    """A change, the day it began and, if it ended, its last day."""

    class Meta:
        model = Change
        fields = ["what", "starts_on", "ends_on", "note"]
        help_texts = {
            "what": "One thing, so that it can be told apart: “dry brine overnight”.",
            "starts_on": "The first contest day it was so.",
            "ends_on": "The last day it was so; left empty while it goes on.",
        }
