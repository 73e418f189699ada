from django.apps import AppConfig


class PackingConfig(AppConfig):
    """Lists to pack, load and buy."""

    name = "teamops.packing"
