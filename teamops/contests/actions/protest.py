"""Protests: lodged once, decided once, and what was written about them stays readable."""

from uuid import uuid4

from django.db import transaction

from teamops.contests.models import Protest
from teamops.teams.models import User


@transaction.atomic
def lodge_protest(*, protest: Protest, by: User) -> Protest:
    """Keep a protest; one that was sent twice is kept once. Late ones are kept as well."""
    known = Protest.objects.filter(pk=protest.pk).first()
    if known and (known.entry_id, known.reason) == (protest.entry_id, protest.reason):
        return known
    if known:  # the page was gone back to: it is another protest
        protest.pk = uuid4()
    protest.lodged_by = by
    protest.full_clean()
    protest.save(force_insert=True)
    return protest


@transaction.atomic
def change_protest(*, protest: Protest) -> Protest:
    """Keep what came of a protest, or a better word for its reason; undecided has no moment."""
    if not protest.outcome:
        protest.decided_at = None
    protest.full_clean()
    protest.save()
    return protest
