"""What a list's kits ask for, with the working."""

from dataclasses import dataclass
from decimal import Decimal
from uuid import UUID

from teamops.calc.demand import Condition, DemandRule, amount, applies
from teamops.calc.words import plain
from teamops.inventory.models import Item, KitLine
from teamops.packing.models import PackingLine, PackingList

MOST_WORKING: int = PackingLine._meta.get_field("working").max_length or 0


@dataclass(frozen=True, slots=True)
class Asked:
    """So much of an item, and how that came about."""

    item: Item
    amount: Decimal
    working: str


def asked_for(packing_list: PackingList) -> dict[UUID, Asked]:
    """What the list's kits ask for under its numbers, by item; nothing that comes to 0.

    An item in several kits is asked for by each, and the amounts add up. One query.
    """
    numbers, on = packing_list.numbers, packing_list.conditions_on
    lines = KitLine.objects.filter(kit__in=packing_list.kits.all(), item__isnull=False)
    asked: dict[UUID, Asked] = {}
    for line in lines.select_related("item__container").order_by("kit__name", "pk"):
        if not applies(Condition(line.condition), on):
            continue
        item = line.item
        more = amount(DemandRule(line.rule), line.quantity, item.unit, numbers)
        if not more.value:
            continue
        working = more.working
        if line.condition != Condition.ALWAYS:
            working += f" ({line.get_condition_display()})"
        asked[item.pk] = _together(asked.get(item.pk), Asked(item, more.value, working))
    return asked


def _together(one: Asked | None, other: Asked) -> Asked:
    if one is None:
        return Asked(other.item, other.amount, other.working[:MOST_WORKING])
    total = one.amount + other.amount
    working = f"{one.working}; and {other.working}; {plain(total)} in all"
    return Asked(one.item, total, working[:MOST_WORKING])
