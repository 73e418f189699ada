from django.apps import AppConfig


class InventoryConfig(AppConfig):
    """What the team owns and uses up: items, containers, kits."""

    name = "teamops.inventory"
