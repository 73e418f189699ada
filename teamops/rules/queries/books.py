"""Which rulebooks a team has, and which it can choose from."""

from dataclasses import dataclass

from django.db.models import Q, QuerySet

from teamops.calc.words import list_words
from teamops.rules.models import Rulebook
from teamops.teams.models import Team


@dataclass(frozen=True, slots=True)
class ShelfRow:
    """One rulebook on the shelf, with what is marked and by how many."""

    rulebook: Rulebook
    marked: str
    judges: str


@dataclass(frozen=True, slots=True)
class Shelf:
    """A team's rulebooks, sorted as its page shows them."""

    own: tuple[ShelfRow, ...]
    shared: tuple[ShelfRow, ...]
    exceptions: tuple[ShelfRow, ...]
    away: tuple[ShelfRow, ...]


def team_rulebooks(team: Team) -> list[Rulebook]:
    """The shared ones and the team's own, with their criteria; two queries."""
    return list(Rulebook.objects.for_team(team).prefetch_related("criteria"))


def shelf(team: Team) -> Shelf:
    """The team's rulebooks by kind, with their criteria; two queries."""
    own: list[ShelfRow] = []
    shared: list[ShelfRow] = []
    exceptions: list[ShelfRow] = []
    away: list[ShelfRow] = []
    for book in team_rulebooks(team):
        marked = list_words([criterion.name for criterion in book.criteria.all()])
        row = ShelfRow(book, marked, judges_words(book))
        if book.put_away_at:
            away.append(row)
        elif book.is_exception:
            exceptions.append(row)
        else:
            (shared if book.is_shared else own).append(row)
    return Shelf(tuple(own), tuple(shared), tuple(exceptions), tuple(away))


def offered_rulebooks(team: Team, keep: Rulebook | None = None) -> QuerySet[Rulebook]:
    """What a box can be judged by: the team's own and the shared ones that are not put away.

    `keep`, the box's present rulebook, is always among them, and so are the exceptions that follow
    it or the book that it departs from itself; other contests' exceptions are not. With their
    criteria, so that `choice_label` asks nothing more.
    """
    offered = Q(put_away_at=None, exception_why="")
    if keep is not None:
        stem = keep.follows_id if keep.is_exception else keep.pk
        offered |= Q(pk=keep.pk)
        offered |= Q(put_away_at=None, follows__in=[keep.pk, stem]) & ~Q(exception_why="")
    rows = Rulebook.objects.for_team(team).filter(offered)
    return rows.prefetch_related("criteria").order_by("name", "edition", "pk")


def default_rulebook(team: Team) -> Rulebook | None:
    """What a new entry is judged by until someone says otherwise: the team's own, or Open Slate."""
    rows = offered_rulebooks(team)
    own = rows.filter(team=team).order_by("-valid_from", "name", "pk").first()
    return own or rows.filter(name="Open Slate").first() or rows.first()


def choice_label(rulebook: Rulebook) -> str:
    """How a list to choose from names it: “Open Slate 1 · 5 criteria, 5 judges · shared”.

    A shared one says so, since a team may have a copy of the same name.
    """
    return f"{grouped_label(rulebook)}{' · shared' if rulebook.is_shared else ''}"


def grouped_label(rulebook: Rulebook) -> str:
    """What names it where a heading says already whether it is shared: it fits a phone.

    One query, none where its criteria are prefetched.
    """
    count = len(rulebook.criteria.all())
    criteria = "1 criterion" if count == 1 else f"{count} criteria"
    why = f" · only where {rulebook.exception_why[:60]}" if rulebook.is_exception else ""
    return f"{rulebook} · {criteria}, {judges_words(rulebook)}{why}"


def judges_words(rulebook: Rulebook) -> str:
    """How many judges: “5 judges”, or “4 blind and 3 on site judges”."""
    if rulebook.panels:
        panels = [f"{panel['expected']} {panel['name']}" for panel in rulebook.panels]
        return f"{', '.join(panels[:-1])} and {panels[-1]} judges" if panels[1:] else panels[0]
    expected = rulebook.sheets_expected
    return "1 judge" if expected == 1 else f"{expected} judges"
