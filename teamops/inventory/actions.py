"""What is done to items, containers and kits; each action is whole or not at all."""

from django.db import transaction

from teamops.inventory.models import Container, Item, Kit, KitLine
from teamops.inventory.starters import read_starters
from teamops.teams.models import Team, User

FIRST_KIT = "Our kit"


@transaction.atomic
def add_starters(*, team: Team, by: User) -> int:
    """Add the starter items the team has not got, with their containers; how many were added.

    What the team has already, by name, stays as it is; saying it again adds nothing.
    """
    starters = read_starters(team.units)
    containers = _starter_containers(team, starters.containers)
    known = set(Item.objects.for_team(team).values_list("name", flat=True))
    kit, _ = Kit.objects.get_or_create(team=team, name=starters.kit)
    items, lines = [], []
    for row in starters.items:
        if row.name in known:
            continue
        item = Item(
            team=team, name=row.name, group=row.group, unit=row.unit, consumable=row.consumable,
            mass_kg=row.mass_kg, container=containers[row.container], note=row.note, changed_by=by,
        )  # fmt: skip
        line = KitLine(
            kit=kit, item=item, quantity=row.quantity, rule=row.rule, condition=row.condition
        )
        item.clean_fields()
        line.clean_fields(exclude=["kit", "item"])
        items.append(item)
        lines.append(line)
    Item.objects.bulk_create(items)
    KitLine.objects.bulk_create(lines)
    return len(items)


def _starter_containers(
    team: Team, rows: tuple[tuple[str, str, bool], ...]
) -> dict[str, Container]:
    """The team's containers by name, those of the starters among them."""
    known = {container.name: container for container in Container.objects.for_team(team)}
    added = [
        Container(team=team, name=name, kind=kind, whole=whole, order=10 * turn)
        for turn, (name, kind, whole) in enumerate(rows, start=1)
        if name not in known
    ]
    for container in added:
        container.clean_fields()
    Container.objects.bulk_create(added)
    return known | {container.name: container for container in added}


@transaction.atomic
def save_item(
    *, item: Item, line: KitLine | None, left: KitLine | None = None, seen: int | None, by: User
) -> Item:
    """Keep a new or changed item, and one kit's say on how much to bring of it.

    A line without a kit goes into the team's first; `left` is the line of a kit it leaves.
    Raises Conflict if someone changed the item since version `seen`, ValidationError if the team
    has another item of this name.
    """
    if not item._state.adding:
        item.claim(seen=seen if seen is not None else item.version, by=by)
    item.changed_by = by
    item.full_clean()
    item.save()
    if left is not None:
        left.delete()
    if line is not None:
        line.item = item
        if line.kit_id is None:
            line.kit = _first_kit(item.team)
        save_kit_line(line=line)
    return item


@transaction.atomic
def delete_item(*, item: Item) -> None:
    """Take an item away; packing lists keep what they printed of it."""
    item.delete()


@transaction.atomic
def save_kit_line(*, line: KitLine) -> KitLine:
    """Keep how much of an item a kit takes; ValidationError if the kit says so already."""
    line.full_clean()
    line.save()
    return line


@transaction.atomic
def save_container(*, container: Container) -> Container:
    """Keep a new or changed container."""
    container.full_clean()
    container.save()
    return container


@transaction.atomic
def delete_container(*, container: Container) -> None:
    """Take a container away; its items stay, in none."""
    container.delete()


@transaction.atomic
def save_kit(*, kit: Kit) -> Kit:
    """Keep a new or renamed kit."""
    kit.full_clean()
    kit.save()
    return kit


@transaction.atomic
def delete_kit(*, kit: Kit) -> None:
    """Take a kit away with what it says of its items; the items stay."""
    kit.delete()


def _first_kit(team: Team) -> Kit:
    """The team's first kit, made if there is none."""
    return Kit.objects.for_team(team).first() or save_kit(kit=Kit(team=team, name=FIRST_KIT))
