from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from teamops.teams import actions
from teamops.teams.models import User


class Command(BaseCommand):
    """Print an address that signs one person in, once, within a day."""

    help = "Print a link that signs a person in once, within a day."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("email", help="the address they sign in with")

    def handle(self, *args: Any, **options: Any) -> None:
        user = User.objects.filter(email=options["email"].lower(), is_active=True).first()
        if user is None:
            raise CommandError(f"Nobody signs in as {options['email']}.")
        self.stdout.write(actions.make_sign_in_link(user=user))
