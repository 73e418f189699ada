"""What each entry got: total, placing, and what the papers gave less than every mark."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from uuid import UUID

from django.core.paginator import Paginator
from django.db.models import Q, QuerySet

from teamops.calc.words import brief
from teamops.contests.models import Category, Contest, Entry
from teamops.insight.links import Links
from teamops.insight.words import basis_words, differs, placing_words
from teamops.judging.models import Result
from teamops.teams.models import Team

A_PAGE = 40


@dataclass(frozen=True, slots=True)
class PlainResult:
    """One entry's result as a line of words; `total` is the posted one, else ours.

    `url` leads to where its points went, `sheets_url` to the sheets. `stamps` are (word, look).
    """

    category: str
    total: str
    most: str
    placing: str
    stamps: tuple[tuple[str, str], ...]
    url: str
    sheets_url: str
    papers: bool

    @property
    def words(self) -> str:
        """167.44 of 180, 3rd of 42."""
        total = f"{self.total} of {self.most}" if self.total and self.most else self.total
        return ", ".join(part for part in (total, self.placing) if part)


@dataclass(frozen=True, slots=True)
class ScoreRow:
    """One line of the scores page."""

    held_on: date
    contest: str
    contest_url: str
    practice: bool
    result: PlainResult


@dataclass(frozen=True, slots=True)
class ScoresPage:
    """A page of results by season, newest first; `pages` and `page` count from 1."""

    seasons: tuple[tuple[int, tuple[ScoreRow, ...]], ...]
    count: int
    page: int
    pages: int

    @property
    def newer(self) -> int:
        return self.page - 1

    @property
    def older(self) -> int:
        return self.page + 1


def plain_result(entry: Entry, links: Links) -> PlainResult:
    """An entry's result in words; its category and result are loaded."""
    result: Result | None = getattr(entry, "result", None)
    ours = result.total if result else None
    total = ours if entry.official_total is None else entry.official_total
    most = result.most if result and total is not None else None
    return PlainResult(
        category=entry.category.name,
        total=brief(total) if total is not None else "",
        most=brief(most) if most is not None else "",
        placing=placing_words(entry),
        stamps=tuple(_stamps(entry, result)),
        url=links.to("insight:show_entry", entry.pk),
        sheets_url=links.to("judging:record_scores", entry.pk),
        papers=result is not None and result.basis != Result.Basis.NONE,
    )


# What happens on any honest table, and what another stamp says already.
ORDINARY = {"total_only", "tied_drop", "filled_sheet", "no_losses"}


def _stamps(entry: Entry, result: Result | None) -> list[tuple[str, str]]:
    stamps = []
    if entry.disqualified:
        stamps.append(("disqualified", "hot"))
    less = basis_words(result)
    if less and not (entry.disqualified and less == "no papers yet"):
        stamps.append((less, "due" if less == "no papers yet" else ""))
    ours = result.total if result else None
    if ours is not None and differs(ours, entry.official_total):
        stamps.append((f"our sum {brief(ours)}", "hot"))
    if result and any(flag["kind"] not in ORDINARY for flag in result.flags):
        stamps.append(("odd papers", "due"))
    return stamps


def scores_page(
    team: Team, today: date, *, category: UUID | None, season: int | None, page: int
) -> ScoresPage:
    """One page of what every entry got, newest first; two queries.

    Takes in what has papers and what was cooked by today. A page beyond the last is the last.
    """
    pages = Paginator(_entries(team, today, category, season), A_PAGE)
    shown = pages.get_page(page)
    links = Links(team)
    rows = [_row(entry, links) for entry in shown.object_list]
    by_year = groupby(rows, key=lambda row: row.held_on.year)
    return ScoresPage(
        seasons=tuple((year, tuple(some)) for year, some in by_year),
        count=pages.count,
        page=shown.number,
        pages=pages.num_pages,
    )


def _entries(team: Team, today: date, category: UUID | None, season: int | None) -> QuerySet[Entry]:
    has_papers = Q(result__isnull=False) & ~Q(result__basis=Result.Basis.NONE)
    cooked = Q(contest__held_on__lte=today) & ~Q(contest__state__in=Contest.OFF)
    entries = Entry.objects.for_team(team).filter(has_papers | cooked)
    if category:
        entries = entries.filter(category=category)
    if season:
        entries = entries.filter(contest__held_on__year=season)
    return entries.select_related("contest", "category", "result").order_by(
        "-contest__held_on",
        "contest__name",
        "contest_id",
        "category__ancillary",
        "category__name",
        "pk",
    )


def _row(entry: Entry, links: Links) -> ScoreRow:
    return ScoreRow(
        held_on=entry.contest.held_on,
        contest=entry.contest.name,
        contest_url=links.to("contests:show_contest", entry.contest_id),
        practice=entry.contest.kind == Contest.Kind.PRACTICE,
        result=plain_result(entry, links),
    )


def score_filters(team: Team) -> tuple[Sequence[Category], list[int]]:
    """The team's categories, and the years of its contests, latest first; two queries."""
    years = Contest.objects.for_team(team).order_by().values_list("held_on__year", flat=True)
    return list(Category.objects.for_team(team)), sorted(years.distinct(), reverse=True)
