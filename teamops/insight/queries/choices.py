"""What a points ledger can be made of: categories, rulebooks and seasons that have marks."""

from collections import Counter
from dataclasses import dataclass, field, replace
from datetime import date
from urllib.parse import urlencode
from uuid import UUID

from django.db.models import CharField
from django.db.models.functions import Cast, Substr

ENOUGH = 3  # contests in the latest season, before it stands by itself


Days = tuple[date | None, date | None]


@dataclass(frozen=True, slots=True)
class Group:
    """One judged contest with marks, in one category under one rulebook."""

    category_id: UUID
    category: str
    ancillary: bool
    rulebook_id: UUID
    rulebook: str
    contest_id: str
    held_on: date

    def within(self, days: Days) -> bool:
        """Whether it was held in these days, the first and the last where there is one."""
        first, last = days
        return not ((first and self.held_on < first) or (last and self.held_on > last))


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
    def days(self) -> Days:
        """The first and the last day, where there is one; typed days go over the season."""
        if self.since or self.until or self.season is None:
            return self.since, self.until
        return date(self.season, 1, 1), date(self.season, 12, 31)

    @property
    def is_usual(self) -> bool:
        """Whether it is all of a season or of every season, as most people look at it."""
        return not (self.since or self.until or self.left_out)

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
            count[group.category_id] += 1
            names[group.category_id] = group.ancillary, group.category
        order = sorted(names, key=lambda pk: (names[pk][0], -count[pk], names[pk][1]))
        return [(pk, names[pk][1]) for pk in order]

    def rulebooks(
        self, category_id: UUID | None = None, days: Days = (None, None)
    ) -> list[tuple[UUID, str, int]]:
        """Rulebooks of this category with how many of its contests were judged by them.

        Most first. One that has none in these days is there with 0.
        """
        held: dict[UUID, set[str]] = {}
        names: dict[UUID, str] = {}
        for group in self.groups:
            if category_id in (None, group.category_id):
                names[group.rulebook_id] = group.rulebook
                contests = held.setdefault(group.rulebook_id, set())
                if group.within(days):
                    contests.add(group.contest_id)
        order = sorted(names, key=lambda pk: (-len(held[pk]), names[pk]))
        return [(pk, names[pk], len(held[pk])) for pk in order]

    def seasons(self, category_id: UUID, rulebook_id: UUID) -> list[tuple[int, int]]:
        """Years with how many contests they had, latest first."""
        wanted = (category_id, rulebook_id)
        years = Counter(
            group.held_on.year
            for group in self.groups
            if (group.category_id, group.rulebook_id) == wanted
        )
        return sorted(years.items(), reverse=True)

    def years(self) -> list[int]:
        """Every year with marks, latest first."""
        return sorted({group.held_on.year for group in self.groups}, reverse=True)

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
