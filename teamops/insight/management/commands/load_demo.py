from datetime import date
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from teamops.insight.demo import load_demo
from teamops.teams.models import Team


class Command(BaseCommand):
    """Load the demo season; the team and its contests are invented."""

    help = "Load the demo season of an invented team."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--today", type=date.fromisoformat, default=None, help="count from this day"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if Team.objects.filter(slug="thimblejack").exists():
            raise CommandError("The demo season is there already.")
        team = load_demo(options["today"] or timezone.localdate())
        self.stdout.write(f"Loaded the demo season of {team}.")
