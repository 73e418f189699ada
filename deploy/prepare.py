"""
Bring the database and the static files up to date, inside the environment.

Called by start.py with the settings' variables set. A new database gets the demo season, unless
--empty is given; one that holds something gets its migrations and starters, nothing else.
"""

import io
import json
import sqlite3
import sys
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import django
from django.conf import settings
from django.core.management import CommandError, call_command
from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor
from environment import say


def main() -> None:
    django.setup()
    new, waiting = state()
    if new:
        say("Making the database.")
    elif waiting:
        keep_copy()
        say(f"Bringing the database up to date: {waiting} steps.")
    call_command("migrate", interactive=False, verbosity=0)
    call_command("createcachetable", verbosity=0)
    call_command("starters", stdout=io.StringIO())
    if new and "--empty" not in sys.argv:
        say("Loading the demo season.")
        call_command("load_demo", stdout=io.StringIO())
    say("Collecting the static files.")
    call_command("collectstatic", interactive=False, verbosity=0)
    say(welcome())


def state() -> tuple[bool, int]:
    """Tell whether the database is new, and how many migrations it waits for."""
    executor = MigrationExecutor(connection)
    waiting = executor.migration_plan(executor.loader.graph.leaf_nodes())
    return not executor.loader.applied_migrations, len(waiting)


def keep_copy() -> None:
    """Copy an SQLite file before its shape changes; a server has its own way to be kept."""
    if connection.vendor != "sqlite":
        return
    now = datetime.now(UTC)
    copy = Path(settings.VAR_DIR) / f"before-{now:%Y-%m-%d-%H%M%S}.sqlite3"
    say(f"Keeping a copy of the database in {copy}.")
    with (
        closing(sqlite3.connect(settings.DATABASES["default"]["NAME"])) as here,
        closing(sqlite3.connect(copy)) as there,
    ):
        here.backup(there)


def welcome() -> str:
    """The way in: a link that signs the demo's owner in, once, or the address to begin at."""
    people = json.loads((settings.FIXTURES / "demo-season.json").read_text())["people"]
    owner = next(person["email"] for person in people if person["role"] == "owner")
    link = io.StringIO()
    try:
        call_command("sign_in_link", owner, stdout=link)
    except CommandError:  # no demo here, or its owner has left
        return f"Open {settings.PUBLIC_URL}/ to sign in or to make an account."
    return f"This link signs you in to the demo, once: {link.getvalue().strip()}"


if __name__ == "__main__":
    try:
        main()
    except (CommandError, DatabaseError) as error:
        sys.exit(f"The database could not be made ready: {error}")
    except OSError as error:
        sys.exit(f"Cannot write {error.filename}: {(error.strerror or str(error)).lower()}.")
