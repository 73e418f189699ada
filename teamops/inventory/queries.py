"""What the team has, in words ready to print."""

from dataclasses import dataclass
from decimal import Decimal
from itertools import groupby
from uuid import UUID

from django.db.models import Count

from teamops.calc.units import show_mass
from teamops.inventory.models import Container, Item, Kit, KitLine
from teamops.inventory.words import EACH
from teamops.teams.models import Team

WEIGHTS = frozenset({"lb", "oz", "kg", "g"})
LEAST_KG = Decimal("0.005")


@dataclass(frozen=True, slots=True)
class ItemRow:
    """One item: how much is brought of it by which kit, what one weighs, where it rides."""

    item_id: UUID
    name: str
    bring: tuple[str, ...]
    weight: str
    container: str
    note: str
    consumable: bool


@dataclass(frozen=True, slots=True)
class ItemGroup:
    """Items that belong together."""

    name: str
    rows: tuple[ItemRow, ...]


def item_groups(team: Team) -> tuple[ItemGroup, ...]:
    """Every item of the team, group by group; three queries."""
    kits = {kit.pk: kit.name for kit in Kit.objects.for_team(team)}
    items = Item.objects.for_team(team).select_related("container").prefetch_related("kit_lines")
    named = groupby(items, key=lambda item: item.group)
    return tuple(
        ItemGroup(name or "Other", tuple(_row(item, kits, team.units) for item in rows))
        for name, rows in named
    )


def _row(item: Item, kits: dict[UUID, str], units: str) -> ItemRow:
    lines = list(item.kit_lines.all())
    for line in lines:
        line.item = item
    bring = [f"{line} ({kits[line.kit_id]})" if len(kits) > 1 else str(line) for line in lines]
    return ItemRow(
        item_id=item.pk,
        name=item.name,
        bring=tuple(bring),
        weight=_weight(item, units),
        container=item.container.name if item.container else "",
        note=item.note,
        consumable=item.consumable,
    )


def _weight(item: Item, units: str) -> str:
    """What one weighs; nothing where it goes without saying, or is too light to be said."""
    if item.unit in WEIGHTS or item.mass_kg < LEAST_KG:
        return ""
    said = show_mass(item.mass_kg, units)
    return f"{said} each" if item.unit == EACH else f"{said} a {item.unit}"


def item_group_names(team: Team) -> list[str]:
    """The groups in use: what a form offers."""
    names = Item.objects.for_team(team).order_by().values_list("group", flat=True).distinct()
    return sorted(names)


def kit_lines_of(item: Item) -> list[KitLine]:
    """What each kit says of an item; one query."""
    lines = list(item.kit_lines.select_related("kit").order_by("kit__name", "pk"))
    for line in lines:
        line.item = item
    return lines


def containers_with_counts(team: Team) -> list[tuple[Container, int]]:
    """Containers in their order, each with how many items ride in it; one query."""
    rows = Container.objects.for_team(team).annotate(many=Count("items"))
    rows = rows.order_by("order", "name", "pk")  # counting drops the model's own order
    return [(row, row.many) for row in rows]


def kits_with_counts(team: Team) -> list[tuple[Kit, int]]:
    """Kits by name, each with how many items it takes; one query."""
    rows = Kit.objects.for_team(team).annotate(many=Count("lines")).order_by("name", "pk")
    return [(row, row.many) for row in rows]


def lists_with(item: Item) -> int:
    """How many packing lists name an item; one query, through the reverse relation."""
    rows = Item.objects.filter(pk=item.pk).aggregate(many=Count("packing_lines"))
    return rows["many"]
