"""What the tables that are taken out share."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.utils import timezone

from teamops.calc.units import c_to_f
from teamops.contests.models import Contest, Entry
from teamops.tabular import Cell
from teamops.teams.models import Team


@dataclass(frozen=True, slots=True)
class Table:
    """Headings, and rows as wide as these."""

    headings: Sequence[str]
    rows: Sequence[Sequence[Cell]]


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of table: its title, what is in it, and how it is made in so many queries."""

    title: str
    words: str
    table: Callable[[Team], Table]


def moment(value: datetime | None, contest: Contest) -> Cell:
    """A moment on the contest’s own clock, as spreadsheets keep it."""
    return timezone.localtime(value, contest.zone).replace(tzinfo=None) if value else None


def number(value: Decimal | None) -> Cell:
    """A number without the zeros that the database puts behind it."""
    return None if value is None else value.normalize()


def degrees(value: Decimal | None, team: Team) -> Cell:
    """A temperature in the team’s own unit."""
    if value is None:
        return None
    return number(c_to_f(value) if team.units == Team.Units.US else value)


def unit_of(team: Team) -> str:
    return "°F" if team.units == Team.Units.US else "°C"


def yes(value: object) -> str:
    return "yes" if value else ""


def cook_of(entry: Entry) -> str:
    """Who cooked a box: one of the team, or a guest."""
    return entry.guest_cook or (entry.cook_of_record.name if entry.cook_of_record else "")


def placing_of(entry: Entry) -> Cell:
    """The place, “T-3” where it was shared, or why there is none."""
    if entry.placing:
        return f"T-{entry.placing}" if entry.tied else entry.placing
    words = {Entry.State.WITHDRAWN: "withdrawn", Entry.State.NOT_TURNED_IN: "did not turn in"}
    return words.get(Entry.State(entry.state), "")
