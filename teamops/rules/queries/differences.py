"""How one rulebook differs from another, field by field, in words."""

from collections.abc import Sequence
from dataclasses import dataclass

from teamops.rules.models import Criterion, Rulebook
from teamops.rules.queries.words import book_facts

NOTHING = "nothing said"
CRITERION = "What is marked: "


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that two rulebooks say differently."""

    label: str
    before: str
    after: str


def differences(
    before: Rulebook, after: Rulebook, criteria: Sequence[Criterion] | None = None
) -> tuple[Difference, ...]:
    """What `after` says differently; two queries, none where criteria are prefetched or given."""
    old = book_facts(before, list(before.criteria.all()))
    new = book_facts(after, list(after.criteria.all()) if criteria is None else criteria)
    labels = [*new, *(label for label in old if label not in new)]
    found = []
    for label in labels:
        was, now = old.get(label, ""), new.get(label, "")
        if was != now:
            short = label.removeprefix(CRITERION)
            nothing = "not marked" if label.startswith(CRITERION) else NOTHING
            found.append(Difference(short, was or nothing, now or nothing))
    return tuple(found)
