"""The shopping list in words."""

from dataclasses import dataclass
from itertools import groupby

from django.db.models import F
from django.utils import timezone

from teamops.inventory.words import say_amount
from teamops.packing.models import PackingLine, PackingList, ShoppingLine
from teamops.teams.models import Team

BOUGHT_SHOWN = 60


@dataclass(frozen=True, slots=True)
class ShoppingRow:
    """One thing to buy, or bought."""

    key: str
    amount: str
    name: str
    trip: str
    note: str
    press: str
    pressed: str
    state: str
    look: str


@dataclass(frozen=True, slots=True)
class ShoppingGroup:
    """Things that are found together in a shop."""

    name: str
    rows: tuple[ShoppingRow, ...]


@dataclass(frozen=True, slots=True)
class Shopping:
    """What is still to buy, group by group, and what was bought last."""

    count: str
    groups: tuple[ShoppingGroup, ...]
    bought: tuple[ShoppingRow, ...]


def shopping_page(team: Team) -> Shopping:
    """The team's shopping list; two queries."""
    lines = ShoppingLine.objects.for_team(team).select_related("packing_list")
    opened = list(lines.filter(bought_at=None))
    bought = lines.filter(bought_at__isnull=False).select_related("bought_by")
    latest = bought.order_by("-bought_at", "pk")[:BOUGHT_SHOWN]
    groups = tuple(
        ShoppingGroup(name or "other", tuple(map(_row, some)))
        for name, some in groupby(opened, key=lambda line: line.group)
    )
    return Shopping(f"{len(opened)} to buy", groups, tuple(map(_row, latest)))


def _row(line: ShoppingLine) -> ShoppingRow:
    state, look, press = "to buy", "open", "buy"
    if line.bought_at is not None:
        local = timezone.localtime(line.bought_at)
        person = line.bought_by.get_short_name() if line.bought_by else "somebody"
        state, look, press = (
            f"bought by {person}, {local:%a} {local.day} {local:%b}",
            "done",
            "put_back",
        )
    return ShoppingRow(
        key=str(line.pk),
        amount=say_amount(line.amount, line.unit),
        name=line.name,
        trip=line.packing_list.title if line.packing_list else "",
        note=line.note,
        press=press,
        pressed="true" if line.bought_at else "false",
        state=state,
        look=look,
    )


def used_up(packing_list: PackingList) -> list[PackingLine]:
    """Lines of what gets used up that nobody has packed, nor put down to buy; one query."""
    return list(
        packing_list.lines.filter(consumable=True, gone=False, packed_at=None, have=None)
        .filter(amount__gt=0)
        .exclude(shopping__bought_at__isnull=False)
        .order_by("group", F("name").asc(), "pk")
    )
