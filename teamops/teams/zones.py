"""The clocks a contest or a team may live by."""

from functools import cache
from zoneinfo import available_timezones

AREAS = ("Africa/", "America/", "Antarctica/", "Asia/", "Atlantic/", "Australia/", "Europe/",
         "Indian/", "Pacific/")  # fmt: skip


@cache
def zones() -> frozenset[str]:
    """Every zone of the tz database, asked once: it is read from hundreds of files."""
    return frozenset(available_timezones())


@cache
def zone_names() -> tuple[str, ...]:
    """Time zones to pick from, as Area/City; old names of the same clocks are left out."""
    return tuple(sorted(name for name in zones() if name.startswith(AREAS)))


def zone_typed(text: str) -> str:
    """The zone somebody means: "new york" and "america/new_york" are America/New_York.

    What names no zone, or a city of two, comes back as it was typed.
    """
    return _by_words().get(_words(text)) or text


@cache
def _by_words() -> dict[str, str]:
    """Zones by their whole name, and by their city where only one has it."""
    whole = {_words(name): name for name in zones()}
    cities: dict[str, set[str]] = {}
    for name in zone_names():
        cities.setdefault(_words(name.rpartition("/")[2]), set()).add(name)
    alone = {city: names.pop() for city, names in cities.items() if len(names) == 1}
    return alone | whole


def _words(text: str) -> str:
    return " ".join(text.casefold().replace("_", " ").split())
