"""Links that sign one person in, once."""

from datetime import timedelta

from django.conf import settings
from django.core.exceptions import ValidationError
from django.urls import reverse

from teamops.teams.models import SignInLink, User

LASTS = timedelta(hours=24)
SPENT = "This link was used already or has expired."


def make_sign_in_link(*, user: User, lasts: timedelta = LASTS) -> str:
    """
    Give an address that signs `user` in once, within `lasts`; it is readable only now.

    It stands for the password alone: a second step that the account asks for is still asked for.
    """
    link = SignInLink(user=user)
    token = link.renew(lasts)
    link.full_clean()
    link.save()
    return settings.PUBLIC_URL + reverse("teams:use_link", args=[token])


def take_sign_in_link(*, token: str) -> User:
    """
    Use the link up and say whose it is.

    Refuses (ValidationError) a second press, an old link and one that never was.
    """
    link = SignInLink.find(token)
    if link is None or not link.take():
        raise ValidationError(SPENT)
    return link.user
