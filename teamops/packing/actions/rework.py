"""From a list's numbers to its lines, keeping what people did by hand."""

from dataclasses import dataclass, field
from decimal import Decimal

from teamops.calc.words import opening
from teamops.inventory.words import say_amount
from teamops.packing.actions.shortage import settle_shortage
from teamops.packing.copies import copied
from teamops.packing.models import PackingLine, PackingList
from teamops.packing.queries.demand import Asked, asked_for


@dataclass(slots=True)
class News:
    """What changed on a list, as it is found: whole sentences, and names to be put into one."""

    changed: list[str] = field(default_factory=list)
    added: list[str] = field(default_factory=list)
    again: list[str] = field(default_factory=list)
    gone: list[str] = field(default_factory=list)
    kept: list[str] = field(default_factory=list)

    def sentences(self) -> list[str]:
        """A sentence for each amount that changed, and one for each other sort of change."""
        sorts = (
            ("Added", self.added),
            ("Needed again", self.again),
            ("No longer needed", self.gone),
            ("No longer needed, but you have dealt with it, so it stays marked", self.kept),
        )
        return self.changed + [f"{said}: {'; '.join(names)}." for said, names in sorts if names]


def rework(packing_list: PackingList, state: int) -> list[str]:
    """Bring the lines in step with the numbers and say what changed, in sentences.

    Ticks, added lines and amounts typed by hand stay. A line no longer asked for goes, unless
    somebody has dealt with it: then it is marked. The same numbers again change nothing.
    """
    asked, news = asked_for(packing_list), News()
    known = set()
    for line in packing_list.lines.filter(own=False):
        ask = asked.get(line.item_id) if line.item_id else None
        if ask is None:
            _let_go(line, state, news)
        else:
            known.add(ask.item.pk)
            _change(line, ask, state, news)
    added = [ask for pk, ask in asked.items() if pk not in known]
    PackingLine.objects.bulk_create(_new_line(packing_list, ask, state) for ask in added)
    news.added += [_said(ask.amount, ask.item.unit, ask.item.name) for ask in added]
    return news.sentences()


def _new_line(packing_list: PackingList, ask: Asked, state: int) -> PackingLine:
    line = PackingLine(
        packing_list=packing_list, item=ask.item, amount=ask.amount, worked_out=ask.amount,
        working=ask.working, touched=state, **copied(ask.item),
    )  # fmt: skip
    line.clean_fields(exclude=["packing_list", "item"])
    return line


def _change(line: PackingLine, ask: Asked, state: int, news: News) -> None:
    """Bring one line in step, and tell what there is to tell of it."""
    was, unit, was_gone = line.amount, line.unit, line.gone
    fresh = copied(ask.item) | {
        "worked_out": ask.amount, "working": ask.working, "gone": False,
        "amount": line.amount if line.amount_own else ask.amount,
    }  # fmt: skip
    if all(getattr(line, name) == value for name, value in fresh.items()):
        return
    for name, value in fresh.items():
        setattr(line, name, value)
    if line.packed_amount is not None and line.unit != unit:
        line.packed_amount = line.amount  # pounds packed say nothing of bags to pack
    line.touched = state
    line.clean_fields(exclude=["packing_list", "item"])
    settle_shortage(line, was)
    line.save()
    if was_gone:
        news.again.append(_said(line.amount, line.unit, line.name))
    elif line.amount != was or line.unit != unit:
        before, after = say_amount(was, unit), say_amount(line.amount, line.unit)
        news.changed.append(f"{opening(line.name)}: {before} → {after}{_more_to_pack(line)}.")


def _more_to_pack(line: PackingLine) -> str:
    if line.packed_amount is None or line.packed_amount == line.amount:
        return ""
    more = line.amount - line.packed_amount
    if more > 0:
        return f", {say_amount(more, line.unit)} more to pack"
    return f", {say_amount(-more, line.unit)} packed too many"


def _let_go(line: PackingLine, state: int, news: News) -> None:
    """Drop a line that is no longer asked for, or mark it where somebody has dealt with it."""
    if line.gone:
        return
    settle_shortage(line, line.amount, needed=Decimal(0))
    if not _dealt_with(line):
        line.delete()
        if line.amount:
            news.gone.append(line.name)
        return
    line.gone, line.worked_out, line.touched = True, Decimal(0), state
    line.save()
    news.kept.append(line.name)


def _dealt_with(line: PackingLine) -> bool:
    ticked = line.packed_at or line.loaded_at or line.home_at
    return bool(ticked or line.note or (line.amount_own and line.amount))


def _said(amount: Decimal, unit: str, name: str) -> str:
    return f"{name}, {say_amount(amount, unit)}"
