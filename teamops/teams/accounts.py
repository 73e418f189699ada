"""What signing up asks, and where it leads."""

from typing import Any

from allauth.account.adapter import DefaultAccountAdapter
from django import forms
from django.http import HttpRequest

from teamops.teams.models import User


class SignupForm(forms.Form):
    """The name that team-mates see beside what this person did."""

    name = forms.CharField(
        label="Your name", max_length=80, required=False, help_text="Shown to your team."
    )
    field_order = ["name", "email", "password1"]

    def signup(self, request: HttpRequest, user: User) -> None:
        user.name = self.cleaned_data["name"]
        user.save(update_fields=["name"])


class AccountAdapter(DefaultAccountAdapter):
    """allauth's own, with our user: no user name, one display name."""

    def populate_username(self, request: HttpRequest, user: Any) -> None:
        """Nobody has a user name here."""
