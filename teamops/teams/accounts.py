"""What signing up asks, where it leads, and what mail about accounts says."""

import logging
from smtplib import SMTPException
from typing import Any
from urllib.parse import urlsplit

from allauth.account.adapter import DefaultAccountAdapter
from django import forms
from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest

from teamops.teams.models import User
from teamops.web.forms import PlainCharField

log = logging.getLogger(__name__)


class SignupForm(forms.Form):
    """The name that team-mates see beside what this person did."""

    name = PlainCharField(
        label="Your name", max_length=80, required=False, help_text="Shown to your team."
    )
    field_order = ["name", "email", "password1"]

    def signup(self, request: HttpRequest, user: User) -> None:
        user.name = self.cleaned_data["name"]
        user.save(update_fields=["name"])


class AccountAdapter(DefaultAccountAdapter):
    """Our user, our own address in mail, and no lock-out when the mail server is silent."""

    def populate_username(self, request: HttpRequest, user: Any) -> None:
        """Nobody has a user name here."""

    def send_mail(self, template_prefix: str, email: str, context: dict[str, Any]) -> None:
        """
        Send one mail, its links on PUBLIC_URL whatever name the asker called us by.

        A mail that cannot be sent is logged and said on the page; it locks nobody out.
        """
        site = {"name": "Teamops", "domain": settings.PUBLIC_URL}
        try:
            super().send_mail(
                template_prefix, email, public_links(context) | {"current_site": site}
            )
        except (SMTPException, OSError):
            log.exception("A mail could not be sent")
            text = "The mail could not be sent. Whoever runs this Teamops can see why."
            messages.warning(self.request, text)


def public_links(context: dict[str, Any]) -> dict[str, Any]:
    """Move every `…_url` of a mail to PUBLIC_URL, so that a forged Host header leads nowhere."""
    return {
        key: settings.PUBLIC_URL + urlsplit(value)._replace(scheme="", netloc="").geturl()
        if key.endswith("_url") and isinstance(value, str)
        else value
        for key, value in context.items()
    }
