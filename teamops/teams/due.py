"""What is due: each app answers `queries.due(team, until)`, and the season page merges them."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Due:
    """
    One dated thing to do, in words ready to print.

    `on` is the day on the clock of the place where it falls due; `at` its time there, as text,
    where it has one. `url` leads to the page that deals with it; `done_url` takes a POST that ticks
    it off, where a tick is all it needs.
    """

    on: date
    what: str
    where: str = ""
    at: str = ""
    url: str = ""
    done_url: str = ""
