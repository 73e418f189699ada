"""What the judges decided about a box, which its total follows."""

from collections.abc import Mapping
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction

from teamops.contests.models import Entry
from teamops.judging.actions.corrections import lock_entry
from teamops.judging.actions.results import store_results
from teamops.judging.history import save_with_history
from teamops.judging.models import Result
from teamops.teams.models import User

SETTLED = (
    "late",
    "late_points",
    "state",
    "disqualified",
    "disqualified_why",
    "overturned_why",
    "tie_way",
)


@transaction.atomic
def settle_entry(*, entry: Entry, seen: int, decided: Mapping[str, Any], by: User) -> Entry:
    """
    Keep what was decided about a box, and what its result is then; saying it again writes nothing.

    `decided` holds some of `SETTLED`. Points are kept only where the box was docked. Raises
    Conflict if someone wrote the entry since version `seen`, ValidationError for what cannot be
    stored.
    """
    if not decided.keys() <= set(SETTLED):
        raise ValidationError("That is not for the judges to decide.")
    entry = lock_entry(entry)
    decided = dict(decided)
    if decided.get("late", entry.late) != Entry.Late.DOCKED:
        decided["late_points"] = None
    changed = {name: value for name, value in decided.items() if getattr(entry, name) != value}
    if not changed:
        return entry
    entry.claim(seen=seen, by=by)
    for name, value in changed.items():
        setattr(entry, name, value)
    entry.clean_fields(exclude={f.name for f in entry._meta.fields} - changed.keys())
    save_with_history(entry, by=by, update_fields=[*changed, "version", "changed_by"])
    follow_entry(entry, by=by)
    return entry


def follow_entry(entry: Entry, *, by: User | None = None) -> None:
    """Let a stored result follow what changed on its entry; nothing where there is none yet."""
    if Result.objects.filter(entry=entry).exists():
        store_results(entry, by=by)
