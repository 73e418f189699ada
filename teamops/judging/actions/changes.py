"""What the team does differently from a day on."""

from django.db import transaction

from teamops.judging.history import delete_with_history, save_with_history
from teamops.judging.models import Change
from teamops.teams.models import User


@transaction.atomic
def save_change(*, change: Change, by: User) -> Change:
    """Keep a new or altered change; refuses (ValidationError) one that ends before it starts."""
    change.full_clean()
    save_with_history(change, by=by)
    return change


@transaction.atomic
def delete_change(*, change: Change, by: User) -> None:
    """Take a change away; its history stays."""
    delete_with_history(change, by=by)
