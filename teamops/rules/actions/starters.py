"""The shared rulebooks that every team starts with."""

import json

from django.conf import settings
from django.db import transaction

from teamops.rules.models import Criterion, Rulebook


@transaction.atomic
def add_starter_rulebooks() -> list[Rulebook]:
    """Add the shared starter rulebooks that are not there yet; saying it again adds nothing."""
    added = []
    for record in json.loads((settings.FIXTURES / "rulebooks.json").read_text()):
        criteria = record.pop("criteria")
        known = Rulebook.objects.shared().filter(name=record["name"], edition=record["edition"])
        if known.exists():
            continue
        rulebook = Rulebook(**record)
        rulebook.full_clean()
        rulebook.save()
        for order, row in enumerate(criteria, start=1):
            criterion = Criterion(rulebook=rulebook, order=order, **row)
            criterion.full_clean()
            criterion.save()
        added.append(rulebook)
    return added
