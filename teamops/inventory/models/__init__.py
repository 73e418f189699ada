from teamops.inventory.models.container import Container
from teamops.inventory.models.item import Item
from teamops.inventory.models.kit import Kit, KitLine

__all__ = ["Container", "Item", "Kit", "KitLine"]
