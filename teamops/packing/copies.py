"""What a packing line copies of its item and its container, so that a printed list stays true."""

from typing import Any

from teamops.inventory.models import Container, Item

LAST = 32_767  # as far as the column goes on both databases


def copied(item: Item) -> dict[str, Any]:
    """The fields of a line that its item gives."""
    return {
        "name": item.name,
        "group": item.group,
        "unit": item.unit,
        "consumable": item.consumable,
        "mass_kg": item.mass_kg,
    } | placed(item.container)


def placed(box: Container | None) -> dict[str, Any]:
    """The fields of a line that its container gives; things in none come last."""
    if box is None:
        kind = Container.Kind.GEAR
        return {"container": "", "container_kind": kind, "container_whole": False, "position": LAST}
    return {
        "container": box.name,
        "container_kind": box.kind,
        "container_whole": box.whole,
        "position": box.order,
    }
