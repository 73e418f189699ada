"""What the team pages and the account pages ask."""

from typing import Any, cast

from django import forms

from teamops.teams.models import Invitation, Team, User
from teamops.teams.roles import Role
from teamops.teams.zones import zone_typed
from teamops.web.forms import FriendlyForm, PlainCharField


class TeamNameForm(FriendlyForm, forms.ModelForm):
    """All that a team needs."""

    class Meta:
        model = Team
        fields = ["name"]
        labels = {"name": "Team name"}
        help_texts = {"name": "You can change it later."}


class TeamSettingsForm(FriendlyForm, forms.ModelForm):
    """What the team is called, where it is at home, how it measures, pays and prints."""

    class Meta:
        model = Team
        fields = ["name", "home_place", "time_zone", "units", "currency", "paper"]
        labels = {"name": "Team name", "paper": "Paper in your printer"}
        widgets = {
            "time_zone": forms.TextInput(attrs={"list": "zones", "autocomplete": "off"}),
            "currency": forms.TextInput(attrs={"list": "currencies", "autocomplete": "off"}),
        }

    def clean_time_zone(self) -> str:
        return zone_typed(self.cleaned_data["time_zone"])

    def clean_currency(self) -> str:
        return self.cleaned_data["currency"].upper()


class InviteForm(FriendlyForm, forms.ModelForm):
    """Whom the link is for, and what they may do; never more than the giver."""

    class Meta:
        model = Invitation
        fields = ["note", "role"]
        labels = {"note": "For whom", "role": "Role"}
        widgets = {"role": forms.RadioSelect}
        help_texts = {"note": "A reminder for you, such as Sam’s brother."}

    def __init__(self, *args: Any, giver: Role, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        role_field = cast("forms.ChoiceField", self.fields["role"])
        role_field.choices = [
            (role.value, f"{role.label}: {role.words}")
            for role in Role
            if giver.may(role.permission)
        ]


class RoleForm(forms.Form):
    """Another role for a member."""

    role = forms.ChoiceField(choices=Role.choices)


class NameForm(FriendlyForm, forms.ModelForm):
    """The name that team-mates see."""

    class Meta:
        model = User
        fields = ["name"]
        labels = {"name": "Your name"}
        help_texts = {"name": "Shown to your team beside what you did."}


class TypedForm(forms.Form):
    """Something typed out to show that it is meant."""

    typed = PlainCharField(max_length=254, widget=forms.TextInput(attrs={"autocomplete": "off"}))

    def __init__(self, *args: Any, label: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["typed"].label = label
