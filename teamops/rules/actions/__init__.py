"""What is done to rulebooks; each action is whole or not at all."""

from teamops.rules.actions.books import (
    add_rulebook,
    change_rulebook,
    delete_rulebook,
    put_away,
    take_out,
)
from teamops.rules.actions.copies import make_exception, make_ours
from teamops.rules.actions.starters import add_starter_rulebooks

__all__ = [
    "add_rulebook",
    "add_starter_rulebooks",
    "change_rulebook",
    "delete_rulebook",
    "make_exception",
    "make_ours",
    "put_away",
    "take_out",
]
