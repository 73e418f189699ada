"""There is less than needed: the rest goes on the shopping list."""

from decimal import Decimal

from django.db import transaction

from teamops.packing.actions.state import next_state
from teamops.packing.models import PackingLine, ShoppingLine
from teamops.teams.models import User


@transaction.atomic
def set_have(*, line: PackingLine, have: Decimal | None, by: User) -> PackingLine:
    """Say that there is only so much of a line; None, or enough, says that there is no shortage.

    The rest goes on the shopping list, once however often it is said. A tick that claimed more
    than there is, is corrected.
    """
    packing_list = line.packing_list
    state = next_state(packing_list)
    line = PackingLine.objects.select_for_update(of=("self",)).get(pk=line.pk)
    line.packing_list = packing_list
    line.have = have if have is not None and have < line.amount else None
    line.touched = state
    _correct_tick(line)
    line.full_clean()
    line.save()
    opened = line.shopping.filter(bought_at=None)
    if line.have is None:
        opened.delete()
        return line
    shopping = opened.first() or _to_buy(line)
    shopping.amount = line.amount - line.have
    shopping.full_clean()
    shopping.save()
    return line


def _to_buy(line: PackingLine) -> ShoppingLine:
    return ShoppingLine(
        team=line.packing_list.trip.team,
        packing_list=line.packing_list,
        packing_line=line,
        item=line.item,
        name=line.name,
        group=line.group,
        unit=line.unit,
    )


def _correct_tick(line: PackingLine) -> None:
    """Nobody can have packed more than there is."""
    if line.have is None or line.packed_amount is None or line.packed_amount <= line.have:
        return
    line.packed_amount = line.have
    if not line.have:
        line.packed_at = line.packed_by = line.packed_amount = None
        line.loaded_at = line.loaded_by = None


def settle_shortage(line: PackingLine, was: Decimal, needed: Decimal | None = None) -> None:
    """Keep a shortage in step with an amount that was `was`; the caller saves the line.

    A shopping line whose amount was typed by hand, such as a whole package, stays as it is.
    """
    if line.have is None:
        return
    needed = line.amount if needed is None else needed
    have, opened = line.have, line.shopping.filter(bought_at=None)
    if have >= needed:
        line.have = None
        opened.delete()
    else:
        opened.filter(amount=was - have).update(amount=needed - have)


def bought(line: PackingLine, shopping: ShoppingLine) -> None:
    """What a line was short of was bought; the caller saves both."""
    shopping.had = line.have
    if line.have is not None:
        have = line.have + shopping.amount
        line.have = have if have < line.amount else None


def not_bought(line: PackingLine, shopping: ShoppingLine) -> None:
    """It was not bought after all: the line has what it had before; the caller saves both."""
    had, shopping.had = shopping.had, None
    line.have = had if had is not None and had < line.amount else None
    _correct_tick(line)
