from typing import Any

from django.core.management.base import BaseCommand

from teamops.teams.actions import tidy_photos


class Command(BaseCommand):
    """Take away photos that nothing shows, and files that no photo is kept of."""

    help = "Take away photos that nothing shows and stray files; say which files are missing."

    def handle(self, *args: Any, **options: Any) -> None:
        unused, stray, missing = tidy_photos()
        self.stdout.write(f"{unused} photos nothing shows and {stray} stray files taken away.")
        for name in missing:
            self.stderr.write(f"Missing: {name}")
