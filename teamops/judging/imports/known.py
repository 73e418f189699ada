"""What the team has already: looked up once, however long the table."""

from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass, field
from uuid import UUID

from teamops.calc.reading import plain_name, plain_words
from teamops.contests.models import Category, Contest, Entry
from teamops.judging.imports.categories import is_usual
from teamops.judging.models import CriterionTotal, Mark, Result, ScoreSheet
from teamops.rules.models import Criterion, Rulebook
from teamops.rules.queries import team_rulebooks
from teamops.teams.models import Membership, Team, User

FEW = 400  # ids that go into one question; for more, all of the team's rows are fetched


@dataclass(slots=True)
class Stored:
    """One stored sheet with its marks by criterion id."""

    sheet: ScoreSheet
    marks: dict[int, Mark] = field(default_factory=dict)


@dataclass(slots=True)
class Known:
    """The team's contests, boxes, categories, rulebooks and people."""

    team: Team
    contests: list[Contest]
    entries: dict[UUID, list[Entry]]  # by contest
    categories: dict[str, Category]  # by plain name
    rulebooks: dict[UUID, Rulebook]
    criteria: dict[UUID, dict[str, Criterion]]  # by rulebook, by plain name
    people: list[User]
    results: dict[UUID, int]  # how often each box's papers were saved
    by_name: dict[str, list[Contest]]  # by plain name

    def offered(self) -> list[Rulebook]:
        """The rulebooks a new box can be judged by."""
        return [b for b in self.rulebooks.values() if not b.put_away_at and not b.is_exception]

    def named(self, name: str) -> list[Contest]:
        """The contests of this name, whatever its case and marks."""
        return self.by_name.get(plain_name(name), [])

    def is_category(self, name: str) -> bool:
        """Whether it is the name of one of the team's categories, or of a usual one."""
        return plain_words(name) in self.categories or is_usual(name)


def known_of(team: Team) -> Known:
    """What the team has; seven queries."""
    contests = list(Contest.objects.for_team(team).order_by("held_on", "name", "pk"))
    entries: dict[UUID, list[Entry]] = defaultdict(list)
    for entry in Entry.objects.for_team(team).select_related("category").order_by("pk"):
        entries[entry.contest_id].append(entry)
    books = team_rulebooks(team)
    people = Membership.objects.filter(team=team).select_related("user").order_by("pk")
    by_name: dict[str, list[Contest]] = defaultdict(list)
    for contest in contests:
        by_name[plain_name(contest.name)].append(contest)
    return Known(
        team=team,
        contests=contests,
        entries=entries,
        categories={plain_words(row.name): row for row in Category.objects.for_team(team)},
        rulebooks={book.pk: book for book in books},
        criteria={
            book.pk: {plain_words(row.name): row for row in book.criteria.all()} for book in books
        },
        by_name=by_name,
        people=[one.user for one in people],
        results=dict(Result.objects.for_team(team).order_by().values_list("pk", "version")),
    )


@dataclass(slots=True)
class Papers:
    """What is stored of some boxes' papers."""

    sheets: dict[UUID, list[Stored]]
    totals: dict[UUID, dict[int, CriterionTotal]]
    results: dict[UUID, Result]


def papers_of(team: Team, entries: Collection[UUID]) -> Papers:
    """The sheets, marks, criterion totals and results of these boxes; four queries."""
    few = len(entries) <= FEW
    where = {"entry__in": entries} if few else {"entry__contest__team": team}
    of_sheet = {f"sheet__{key}": value for key, value in where.items()}
    papers = Papers(defaultdict(list), defaultdict(dict), {})
    stored: dict[UUID, Stored] = {}
    for sheet in ScoreSheet.objects.filter(**where).order_by("position", "pk"):
        stored[sheet.pk] = Stored(sheet)
        papers.sheets[sheet.entry_id].append(stored[sheet.pk])
    for mark in Mark.objects.filter(**of_sheet).order_by("pk"):
        stored[mark.sheet_id].marks[mark.criterion_id] = mark
    for total in CriterionTotal.objects.filter(**where).order_by("pk"):
        papers.totals[total.entry_id][total.criterion_id] = total
    for result in Result.objects.filter(**where).order_by("pk"):
        papers.results[result.entry_id] = result
    return papers
