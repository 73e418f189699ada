"""What a points ledger can be made of: categories, rulebooks and seasons that have marks."""

from collections import Counter
from dataclasses import dataclass, field, replace
from datetime import date
from urllib.parse import urlencode
from uuid import UUID

from django.db.models import CharField, Count
from django.db.models.functions import Cast, Substr

from teamops.contests.models import Contest
from teamops.judging.models import Result
from teamops.teams.models import Team

ENOUGH = 3  # contests in the latest season, before it stands by itself


@dataclass(frozen=True, slots=True)
class Group:
    """So many judged contests of one season with marks, in one category under one rulebook."""

    category_id: UUID
    category: str
    ancillary: bool
    rulebook_id: UUID
    rulebook: str
    year: int
    contests: int


@dataclass(frozen=True, slots=True)
class Selection:
    """The contests of a ledger: one category, one rulebook, a span of days, less some."""

    category_id: UUID
    category: str
    rulebook_id: UUID
    rulebook: str
    season: int | None = None
    since: date | None = None
    until: date | None = None
    left_out: frozenset[str] = frozenset()

    @property
    def days(self) -> tuple[date | None, date | None]:
        """The first and the last day, where there is one; typed days go over the season."""
        if self.since or self.until or self.season is None:
            return self.since, self.until
        return date(self.season, 1, 1), date(self.season, 12, 31)

    @property
    def span(self) -> str:
        """Which time it is about, in words."""
        since, until = self.since, self.until
        if since and until:
            return f"{_day(since)} to {_day(until)}"
        if since:
            return f"since {_day(since)}"
        if until:
            return f"until {_day(until)}"
        return f"season {self.season}" if self.season else "all seasons"

    def query(self, **more: str) -> str:
        """The selection as an address carries it."""
        pairs = [
            ("category", str(self.category_id)),
            ("rulebook", str(self.rulebook_id)),
            ("season", str(self.season or "all")),
            ("since", self.since.isoformat() if self.since else ""),
            ("until", self.until.isoformat() if self.until else ""),
            *(("out", contest) for contest in sorted(self.left_out)),
            *more.items(),
        ]
        return urlencode([pair for pair in pairs if pair[1]])


def _day(day: date) -> str:
    return f"{day.day} {day:%b} {day.year}"


@dataclass(frozen=True, slots=True)
class Choices:
    """Everything with marks that a team can choose from; `groups` are in no order."""

    groups: tuple[Group, ...] = field(default=())

    def categories(self) -> list[tuple[UUID, str]]:
        """Main categories first, then by how many contests they have."""
        count = Counter[UUID]()
        names: dict[UUID, tuple[bool, str]] = {}
        for group in self.groups:
            count[group.category_id] += group.contests
            names[group.category_id] = group.ancillary, group.category
        order = sorted(names, key=lambda pk: (names[pk][0], -count[pk], names[pk][1]))
        return [(pk, names[pk][1]) for pk in order]

    def rulebooks(self, category_id: UUID | None = None) -> list[tuple[UUID, str, int]]:
        """Rulebooks with how many contests were judged by them, most first."""
        count = Counter[UUID]()
        names: dict[UUID, str] = {}
        for group in self.groups:
            if category_id in (None, group.category_id):
                count[group.rulebook_id] += group.contests
                names[group.rulebook_id] = group.rulebook
        order = sorted(names, key=lambda pk: (-count[pk], names[pk]))
        return [(pk, names[pk], count[pk]) for pk in order]

    def seasons(self, category_id: UUID, rulebook_id: UUID) -> list[tuple[int, int]]:
        """Years with how many contests they had, latest first."""
        wanted = (category_id, rulebook_id)
        mine = [g for g in self.groups if (g.category_id, g.rulebook_id) == wanted]
        return sorted(((group.year, group.contests) for group in mine), reverse=True)

    def years(self) -> list[int]:
        """Every year with marks, latest first."""
        return sorted({group.year for group in self.groups}, reverse=True)

    def select(
        self, category_id: UUID | None = None, rulebook_id: UUID | None = None
    ) -> Selection | None:
        """The usual selection, or that of this category and rulebook; None if nothing has marks.

        The usual one is the main category with most contests, its commonest rulebook, and the
        latest season if it has three contests, else all of them. A rulebook under which the
        category has no marks gives way to the commonest.
        """
        categories = dict(self.categories())
        if not categories:
            return None
        category = category_id if category_id in categories else next(iter(categories))
        books = {pk: name for pk, name, _ in self.rulebooks(category)}
        book = rulebook_id if rulebook_id in books else next(iter(books))
        selection = Selection(category, categories[category], book, books[book])
        latest, contests = self.seasons(category, book)[0]
        return replace(selection, season=latest) if contests >= ENOUGH else selection


def year_of(column: str) -> Substr:
    """A day's year as text. SQLite would call back into Python for each row to extract it."""
    return Substr(Cast(column, CharField()), 1, 4)


def ledger_choices(team: Team) -> Choices:
    """What of this team's judged contests has every judge's marks; one query."""
    rows = (
        Result.objects.for_team(team)
        .with_marks()
        .filter(entry__contest__kind=Contest.Kind.JUDGED, entry__disqualified=False)
        .order_by()
        .values_list(
            "entry__category_id",
            "entry__category__name",
            "entry__category__ancillary",
            "entry__rulebook_id",
            "entry__rulebook__name",
            "entry__rulebook__edition",
            year_of("entry__contest__held_on"),
        )
        .annotate(contests=Count("entry__contest_id", distinct=True))
    )
    return Choices(
        tuple(
            Group(pk, category, ancillary, book_id, f"{book} {edition}".strip(), int(year), count)
            for pk, category, ancillary, book_id, book, edition, year, count in rows
        )
    )
