"""An entry beside the other boxes at its judges' table, from the list that holds."""

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from django.db.models import Subquery

from teamops.calc.field import at_table, table_words
from teamops.calc.reading import out_of
from teamops.contests.models import Entry
from teamops.judging.models import FieldLine
from teamops.rules.models import Rulebook

LATEST = ("-posting__posted_on", "-posting__recorded_at", "-posting")


def at_its_table(entry: Entry) -> tuple[str, ...]:
    """Where it stood at its table, and whether that was a harsh one; one query.

    Read from the newest list that has the entry with its table and total; nothing where no list
    has. Boxes that were out are not counted.
    """
    own = FieldLine.objects.filter(entry=entry).order_by(*LATEST)
    rows: Iterable[Any] = (
        FieldLine.objects.filter(posting=Subquery(own.values("posting")[:1]))
        .order_by("order", "pk")
        .values_list("entry_id", "table", "total", "note")
    )
    mine: tuple[str, Decimal] | None = None
    totals: list[tuple[str, Decimal]] = []
    for entry_id, table, total, note in rows:
        if total is None or out_of(note):
            continue
        if entry_id == entry.pk and mine is None:
            mine = (table, total)
        else:
            totals.append((table, total))
    if mine is None or not mine[0]:
        return ()
    found = at_table(
        mine[1],
        [total for table, total in totals if table == mine[0]],
        [total for table, total in totals if table != mine[0]],
        low_wins=entry.rulebook.direction == Rulebook.Direction.LOW,
    )
    return tuple(table_words(found)) if found else ()
