from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from teamops.judging import actions
from teamops.teams.models import Team


class Command(BaseCommand):
    """Work every stored result out anew; says what differed, and nothing where all is equal."""

    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--check", action="store_true", help="Write nothing; fail if something differs."
        )

    def handle(self, *args: Any, check: bool, **options: Any) -> None:
        differed = list(actions.rescore(check=check))
        for words in differed:
            self.stdout.write(words)
        if differed and not check:
            Team.objects.restamp()
        if check and differed:
            raise CommandError(f"{len(differed)} stored numbers differ from the sheets.")
