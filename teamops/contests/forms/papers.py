"""What is asked about a paper of the team."""

from typing import Any

from django import forms

from teamops.contests.forms.common import narrow, people
from teamops.contests.models import TeamPaper
from teamops.teams.models import Team
from teamops.web.forms import FriendlyForm


class PaperForm(FriendlyForm, forms.ModelForm):
    """A paper somebody asks to see: what, whose, its number, and until when it holds."""

    class Meta:
        model = TeamPaper
        fields = ["kind", "name", "holder", "number", "issued_on", "expires_on", "note"]

    def __init__(self, *args: Any, team: Team, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.instance.team = team
        narrow(self, "holder", people(team, also=self.instance.holder), empty="the team’s")

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        start, end = cleaned.get("issued_on"), cleaned.get("expires_on")
        if start and end and start > end:
            self.add_error("expires_on", "It must start before it ends.")
        return cleaned
