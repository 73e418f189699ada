from typing import Any

from django.core.management.base import BaseCommand

from teamops.rules.actions import add_starter_rulebooks


class Command(BaseCommand):
    """Add the shared starters that are not there yet."""

    help = "Add the shared starter rulebooks that are not there yet."

    def handle(self, *args: Any, **options: Any) -> None:
        added = add_starter_rulebooks()
        self.stdout.write(f"{len(added)} starter rulebooks added." if added else "Starters are in.")
