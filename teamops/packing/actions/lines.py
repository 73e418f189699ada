"""Lines added, changed and left out by hand."""

from decimal import Decimal

from django.db import transaction

from teamops.packing.actions.shortage import settle_shortage
from teamops.packing.actions.state import next_state
from teamops.packing.models import PackingLine
from teamops.teams.models import User


@transaction.atomic
def add_line(*, line: PackingLine, by: User) -> PackingLine:
    """Put something on a list by hand; new numbers leave it alone."""
    line.own, line.changed_by = True, by
    line.touched = next_state(line.packing_list, reshaped=True)
    line.full_clean()
    line.save()
    return line


# What a person may change of a line; the rest, its ticks above all, another phone may be writing.
BY_HAND = (
    "name", "group", "unit", "consumable", "mass_kg", "container", "container_kind",
    "container_whole", "position", "amount", "amount_own", "have", "note", "touched",
)  # fmt: skip


@transaction.atomic
def change_line(*, line: PackingLine, seen: int, by: User) -> PackingLine:
    """Keep a line changed by hand; an amount other than worked out is kept by new numbers too.

    Raises Conflict if someone changed the line since version `seen`.
    """
    line.touched = next_state(line.packing_list, reshaped=True)
    line.claim(seen=seen, by=by)
    before = PackingLine.objects.get(pk=line.pk)
    line.have = before.have
    if not line.own:
        line.amount_own = line.amount != line.worked_out
    settle_shortage(line, before.amount)
    line.full_clean()
    line.save(update_fields=BY_HAND)
    return line


@transaction.atomic
def leave_out(*, line: PackingLine, by: User) -> None:
    """Take a line off: one added by hand goes, one worked out stays at 0 and can come back."""
    line = _taken(line)
    settle_shortage(line, line.amount, needed=Decimal(0))
    if line.own or line.gone or line.worked_out is None:
        line.delete()
        return
    line.claim(seen=line.version, by=by)
    line.amount, line.amount_own = Decimal(0), True
    line.packed_at = line.packed_by = line.packed_amount = None
    line.loaded_at = line.loaded_by = line.home_at = line.home_by = None
    line.full_clean()
    line.save()


@transaction.atomic
def take_again(*, line: PackingLine, by: User) -> PackingLine:
    """Bring a line that was left out or changed by hand back to what the numbers gave."""
    line = _taken(line)
    if line.worked_out is not None:
        was = line.amount
        line.claim(seen=line.version, by=by)
        line.amount, line.amount_own = line.worked_out, False
        settle_shortage(line, was)
        line.full_clean()
        line.save()
    return line


def _taken(line: PackingLine) -> PackingLine:
    """The line as it is now, with its list taken for this transaction."""
    state = next_state(line.packing_list, reshaped=True)
    fresh = PackingLine.objects.get(pk=line.pk)
    fresh.packing_list, fresh.touched = line.packing_list, state
    return fresh
