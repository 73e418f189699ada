"""A team's word in every address."""

from django.utils.text import slugify

TAKEN = frozenset({"account", "add", "admin", "join", "new", "sign-in", "static", "team", "teams"})


def slug_of(name: str) -> str:
    """
    Make a team's name fit for an address: "Oak & Ash" is oak-ash.

    A name without a Latin letter or digit ("Дым и соль", "🔥") becomes cook-team; a word that reads
    like one of our own addresses gets one more. Not unique: `free_slug` sees to that.
    """
    word = slugify(name)[:50].strip("-_")
    if not word:
        return "cook-team"
    return f"{word}-cooks" if word in TAKEN else word


def free_slug(word: str, used: set[str]) -> str:
    """Give `word`, or `word` with the first number from 2 that nobody uses."""
    if word not in used:
        return word
    number = 2
    while f"{word}-{number}" in used:
        number += 1
    return f"{word}-{number}"
