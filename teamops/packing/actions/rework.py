"""From a list's numbers to its lines, keeping what people did by hand."""

from decimal import Decimal

from teamops.calc.words import opening
from teamops.packing.actions.shortage import settle_shortage
from teamops.packing.copies import copied
from teamops.packing.models import PackingLine, PackingList
from teamops.packing.queries.demand import Asked, asked_for
from teamops.packing.words import say_amount


def rework(packing_list: PackingList, state: int) -> list[str]:
    """Bring the lines in step with the numbers and say what changed, a sentence a line.

    Ticks, added lines and amounts typed by hand stay. A line no longer asked for goes, unless
    somebody has dealt with it: then it is marked. The same numbers again change nothing.
    """
    asked = asked_for(packing_list)
    lines = packing_list.lines.filter(own=False)
    news, known = [], set()
    for line in lines:
        ask = asked.get(line.item_id) if line.item_id else None
        if ask is not None:
            known.add(ask.item.pk)
        news.append(_change(line, ask, state) if ask else _let_go(line, state))
    added = [ask for pk, ask in asked.items() if pk not in known]
    PackingLine.objects.bulk_create(_new_line(packing_list, ask, state) for ask in added)
    news += [f"Added: {_said(ask.amount, ask.item.unit, ask.item.name)}." for ask in added]
    return [words for words in news if words]


def _new_line(packing_list: PackingList, ask: Asked, state: int) -> PackingLine:
    line = PackingLine(
        packing_list=packing_list, item=ask.item, amount=ask.amount, worked_out=ask.amount,
        working=ask.working, touched=state, **copied(ask.item),
    )  # fmt: skip
    line.clean_fields(exclude=["packing_list", "item"])
    return line


def _change(line: PackingLine, ask: Asked, state: int) -> str:
    """Bring one line in step; what there is to say of it, or nothing."""
    was, unit, was_gone = line.amount, line.unit, line.gone
    fresh = copied(ask.item) | {
        "worked_out": ask.amount, "working": ask.working, "gone": False,
        "amount": line.amount if line.amount_own else ask.amount,
    }  # fmt: skip
    if all(getattr(line, name) == value for name, value in fresh.items()):
        return ""
    for name, value in fresh.items():
        setattr(line, name, value)
    if line.packed_amount is not None and line.unit != unit:
        line.packed_amount = line.amount  # pounds packed say nothing of bags to pack
    line.touched = state
    line.clean_fields(exclude=["packing_list", "item"])
    settle_shortage(line, was)
    line.save()
    if was_gone:
        return f"Needed again: {_said(line.amount, line.unit, line.name)}."
    if line.amount == was and line.unit == unit:
        return ""
    change = f"{opening(line.name)}: {say_amount(was, unit)} → {say_amount(line.amount, line.unit)}"
    return f"{change}{_more_to_pack(line)}."


def _more_to_pack(line: PackingLine) -> str:
    if line.packed_amount is None or line.packed_amount == line.amount:
        return ""
    more = line.amount - line.packed_amount
    if more > 0:
        return f", {say_amount(more, line.unit)} more to pack"
    return f", {say_amount(-more, line.unit)} packed too many"


def _let_go(line: PackingLine, state: int) -> str:
    """Drop a line that is no longer asked for, or mark it where somebody has dealt with it."""
    if line.gone:
        return ""
    settle_shortage(line, line.amount, needed=Decimal(0))
    if not _dealt_with(line):
        line.delete()
        return f"No longer needed: {line.name}." if line.amount else ""
    line.gone, line.worked_out, line.touched = True, Decimal(0), state
    line.save()
    return f"No longer needed, but kept as you have dealt with it: {line.name}."


def _dealt_with(line: PackingLine) -> bool:
    ticked = line.packed_at or line.loaded_at or line.home_at
    return bool(ticked or line.note or (line.amount_own and line.amount))


def _said(amount: Decimal, unit: str, name: str) -> str:
    return f"{name}, {say_amount(amount, unit)}"
