"""What a browser sends from the score page."""

from collections.abc import Sequence
from typing import Any
from uuid import uuid4

from django.urls import reverse

from teamops.contests.models import Entry

FIVE = [
    ["9", "8", "9", "9", "9"],
    ["9.5", "8", "8", "8.5", "9"],
    ["10", "8", "7", "9", "9"],
    ["9", "7", "8", "8", "8"],
    ["9", "9", "9", "9", "9"],
]


def url_of(entry: Entry) -> str:
    return reverse("judging:record_scores", args=[entry.contest.team.slug, entry.pk])


def sent(
    entry: Entry, rows: Sequence[Sequence[str]] = (), *, seen: int = 0, **more: Any
) -> dict[str, Any]:
    """A form of one row a judge, in the rulebook's order; `more` fields by their own names."""
    keys = list(entry.rulebook.criteria.values_list("pk", flat=True))
    data = {"seen": seen, "op": str(uuid4())}
    data |= {"sheets-TOTAL_FORMS": len(rows), "sheets-INITIAL_FORMS": 0}
    for index, row in enumerate(rows):
        data[f"sheets-{index}-id"] = str(uuid4())
        for key, text in zip(keys, row, strict=False):
            data[f"sheets-{index}-m{key}"] = text
    return data | more
