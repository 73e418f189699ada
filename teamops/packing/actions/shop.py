"""The shopping list."""

from collections.abc import Iterable
from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from teamops.packing.actions.shortage import bought, not_bought, set_have
from teamops.packing.actions.state import next_state
from teamops.packing.models import PackingLine, ShoppingLine
from teamops.teams.models import User


@transaction.atomic
def save_shopping(*, shopping: ShoppingLine) -> ShoppingLine:
    """Keep something to buy, new or changed."""
    shopping.full_clean()
    shopping.save()
    return shopping


@transaction.atomic
def set_bought(*, shopping: ShoppingLine, on: bool, by: User) -> ShoppingLine:
    """Tick something as bought, or untick it; saying it again keeps the first who and when.

    The packing line that was short of it gets what was bought, and loses it with the tick. Where
    that line is short anew, a tick taken back stands for itself.
    """
    line = shopping.packing_line
    state = next_state(line.packing_list) if line else 0
    shopping = ShoppingLine.objects.select_for_update(of=("self",)).get(pk=shopping.pk)
    if bool(shopping.bought_at) == on:
        return shopping
    shopping.bought_at, shopping.bought_by = (timezone.now(), by) if on else (None, None)
    if line and not on and line.shopping.filter(bought_at=None).exists():
        shopping.packing_line = line = None
    if line:
        line = PackingLine.objects.get(pk=line.pk)
        (bought if on else not_bought)(line, shopping)
        line.touched = state
        line.save()
    shopping.full_clean()
    shopping.save()
    return shopping


@transaction.atomic
def delete_shopping(*, shopping: ShoppingLine) -> None:
    """Take something off the shopping list; a packing line that is short of it stays so."""
    shopping.delete()


@transaction.atomic
def buy_all_of(*, lines: Iterable[PackingLine], by: User) -> int:
    """Put lines on the shopping list in full, as if there were none of them; how many."""
    count = 0
    for line in lines:
        if line.have is None and line.amount:
            set_have(line=line, have=Decimal(0), by=by)
            count += 1
    return count
