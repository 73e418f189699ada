"""A rival's score sheets, where we were shown them."""

import json
from collections.abc import Mapping, Sequence
from decimal import Decimal
from hashlib import sha256

from django.core.exceptions import ValidationError
from django.db import transaction

from teamops.calc.words import plain
from teamops.judging.models import FieldLine
from teamops.teams.models import User
from teamops.teams.versions import Conflict

Sheets = Sequence[Mapping[str, Decimal | None]]  # for each judge, the marks by criterion key
MOST_SHEETS = 60


@transaction.atomic
def keep_rival_sheets(*, line: FieldLine, sheets: Sheets, seen: str, by: User) -> FieldLine:
    """
    Keep the marks of a rival's judges with their posted line; none at all takes them away.

    Blank marks are left out. Raises Conflict if somebody wrote others since they stood as `seen`;
    saying the same once more does no harm. Refuses (ValidationError) a judge without any mark among
    others that have some, more than 60 judges, and a line that is a box of our own.
    """
    line = FieldLine.objects.select_for_update(of=("self",)).get(pk=line.pk)
    rows = [{key: plain(mark) for key, mark in one.items() if mark is not None} for one in sheets]
    kept = rows if any(rows) else []
    if line.entry_id is not None:
        raise ValidationError("That line is a box of ours: its sheets are typed as our own.")
    if len(kept) > MOST_SHEETS:
        raise ValidationError(f"No table has more than {MOST_SHEETS} judges.")
    if not all(kept):
        place = next(place for place, row in enumerate(kept, start=1) if not row)
        raise ValidationError(
            f"Judge {place} has no mark. Both sides need as many judges: type one mark at least."
        )
    if kept != line.sheets and how_sheets_stand(line) != seen:
        raise Conflict(line)
    line.sheets = kept
    line.full_clean(exclude=["posting", "entry"])
    line.save(update_fields=["sheets"])
    return line


def how_sheets_stand(line: FieldLine) -> str:
    """A name for a line's sheets as they are now, in whatever order a database keeps the keys."""
    return sha256(json.dumps(line.sheets, sort_keys=True).encode()).hexdigest()[:16]
