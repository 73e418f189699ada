"""What a points ledger can be made of: categories, rulebooks and seasons that have marks."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any
from urllib.parse import urlencode
from uuid import UUID

from django.db.models import CharField
from django.db.models.functions import Cast, Substr

from teamops.insight.queries.narrow import ALL, GUESTS, Held, Narrow

ENOUGH = 3  # contests in the latest season, before it stands by itself


Days = tuple[date | None, date | None]


@dataclass(frozen=True, slots=True)
class Group:
    """One judged contest with marks, in one category under one rulebook, by one cook."""

    category_id: UUID
    category: str
    ancillary: bool
    rulebook_id: UUID
    rulebook: str
    contest_id: str
    held: Held
    cook: str = ""

    @property
    def held_on(self) -> date:
        return self.held.day

    def within(self, days: Days, narrow: Narrow = ALL) -> bool:
        """Whether it was held in these days, the first and the last where there is one.

        And whether it is one of those that a ledger is narrowed to.
        """
        first, last = days
        if narrow is not ALL and not narrow.holds(self.held, self.cook):
            return False
        return not ((first and self.held_on < first) or (last and self.held_on > last))


@dataclass(frozen=True, slots=True)
class Selection:
    """The contests of a ledger: one category, one rulebook, a span of days, less some.

    `narrow` keeps those of one cook, place or weather.
    """

    category_id: UUID
    category: str
    rulebook_id: UUID
    rulebook: str
    season: int | None = None
    since: date | None = None
    until: date | None = None
    left_out: frozenset[str] = frozenset()
    narrow: Narrow = ALL

    @property
    def days(self) -> Days:
        """The first and the last day, where there is one; typed days go over the season."""
        if self.since or self.until or self.season is None:
            return self.since, self.until
        return date(self.season, 1, 1), date(self.season, 12, 31)

    @property
    def is_usual(self) -> bool:
        """Whether it is all of a season or of every season, as most people look at it."""
        return not (self.since or self.until or self.left_out or self.narrow != ALL)

    @property
    def span(self) -> str:
        """Which time it is about, in words, and what it is narrowed to."""
        return f"{self._time}{self.narrow.words}"

    @property
    def _time(self) -> str:
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
            *self.narrow.pairs,
            *(("out", contest) for contest in sorted(self.left_out)),
            *more.items(),
        ]
        return urlencode([pair for pair in pairs if pair[1]])


def _day(day: date) -> str:
    return f"{day.day} {day:%b} {day.year}"


@dataclass(frozen=True, slots=True)
class Choices:
    """Everything with marks that a team can choose from; `groups` are in no order.

    `cooks` names those that some group was cooked by, by their key; `units` are the team's, and
    `contests` are all that were judged, by their id.
    """

    groups: tuple[Group, ...] = field(default=())
    cooks: Mapping[str, str] = field(default_factory=dict)
    units: str = "us"
    contests: Mapping[str, tuple[Held, Any]] = field(default_factory=dict)

    def categories(self) -> list[tuple[UUID, str]]:
        """Main categories first, then by how many contests they have."""
        held: dict[UUID, set[tuple[str, UUID]]] = {}
        names: dict[UUID, tuple[bool, str]] = {}
        for group in self.groups:
            where = (group.contest_id, group.rulebook_id)
            held.setdefault(group.category_id, set()).add(where)
            names[group.category_id] = group.ancillary, group.category
        order = sorted(names, key=lambda pk: (names[pk][0], -len(held[pk]), names[pk][1]))
        return [(pk, names[pk][1]) for pk in order]

    def rulebooks(
        self, category_id: UUID | None = None, days: Days = (None, None), narrow: Narrow = ALL
    ) -> list[tuple[UUID, str, int]]:
        """Rulebooks of this category with how many of its contests were judged by them.

        Most first. One that has none in these days, or none that is left, is there with 0.
        """
        held: dict[UUID, set[str]] = {}
        names: dict[UUID, str] = {}
        for group in self.groups:
            if category_id in (None, group.category_id):
                names[group.rulebook_id] = group.rulebook
                contests = held.setdefault(group.rulebook_id, set())
                if group.within(days, narrow):
                    contests.add(group.contest_id)
        order = sorted(names, key=lambda pk: (-len(held[pk]), names[pk]))
        return [(pk, names[pk], len(held[pk])) for pk in order]

    def seasons(self, category_id: UUID, rulebook_id: UUID) -> list[tuple[int, int]]:
        """Years with how many contests they had, latest first."""
        wanted = (category_id, rulebook_id)
        held = {
            (group.contest_id, group.held_on.year)
            for group in self.groups
            if (group.category_id, group.rulebook_id) == wanted
        }
        return sorted(Counter(year for _, year in held).items(), reverse=True)

    def years(self) -> list[int]:
        """Every year with marks, latest first."""
        return sorted({group.held_on.year for group in self.groups}, reverse=True)

    def places(self) -> dict[str, tuple[str, ...]]:
        """Where contests were held, by the folded name in its order, each with its spellings."""
        found: dict[str, Counter[str]] = {}
        for group in self.groups:
            if group.held.place:
                found.setdefault(group.held.place, Counter())[group.held.spelled] += 1
        return {
            key: tuple(sorted(some, key=lambda name: (-some[name], name.strip())))
            for key, some in sorted(found.items())
        }

    def noted(self, name: str) -> set[str]:
        """What is noted of the contests' rain, wind or air, where something is."""
        return {value for group in self.groups if (value := getattr(group.held, name))}

    def narrow(self, asked: Mapping[str, str]) -> Narrow:
        """What was asked for, with its names; what is empty leaves all."""
        some = {name: asked.get(name) or "" for name in ("cook", "place", "rain", "wind", "air")}
        if not any(some.values()):
            return ALL
        cook_name = self.cooks.get(some["cook"], "") if some["cook"] != GUESTS else ""
        spellings = self.places().get(some["place"], ())
        return Narrow(**some, cook_name=cook_name, spellings=spellings)

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
