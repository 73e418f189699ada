"""What each entry got: total, placing, and what the papers gave less than every mark."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import groupby
from typing import Any, NamedTuple
from uuid import UUID

from django.core.paginator import Paginator
from django.db.models import Q, QuerySet

from teamops.calc.words import brief
from teamops.contests.models import Category, Contest, Entry
from teamops.insight.links import Links
from teamops.insight.queries.choices import year_of
from teamops.insight.words import basis_words, differs, placing_words
from teamops.judging.models import Result
from teamops.teams.models import Team

A_PAGE = 40


# What is read of an entry and its result; the columns of `Facts` in their order.
FACTS = (
    "pk", "contest_id", "category__name", "official_total", "placing", "field_size", "tied",
    "disqualified", "cooked_for", "result__total", "result__most", "result__basis", "result__flags",
)  # fmt: skip


class Facts(NamedTuple):
    """What is known of one entry's result; the last four are None where it has no papers."""

    pk: UUID
    contest_id: UUID
    category: str
    posted: Decimal | None
    placing: int | None
    field_size: int | None
    tied: bool
    disqualified: bool
    cooked_for: str
    ours: Decimal | None
    most: Decimal | None
    basis: str | None
    flags: list[dict[str, Any]] | None

    @property
    def has_papers(self) -> bool:
        return self.basis is not None and self.basis != Result.Basis.NONE


class PlainResult(NamedTuple):
    """One entry's result as a line of words; `total` is the posted one, else ours.

    `url` leads to where its points went, `sheets_url` to the sheets. `stamps` are (word, look).
    """

    category: str
    total: str
    most: str
    placing: str
    stamps: list[tuple[str, str]]
    url: str
    sheets_url: str
    papers: bool
    disqualified: bool

    @property
    def words(self) -> str:
        """167.44 of 180, 3rd of 42."""
        total = f"{self.total} of {self.most}" if self.total and self.most else self.total
        return ", ".join(part for part in (total, self.placing) if part)


class ScoreRow(NamedTuple):
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


def plain_result(facts: Facts, links: Links) -> PlainResult:
    """An entry's result in words."""
    total = facts.ours if facts.posted is None else facts.posted
    # `most` is what our sheets could have earned: beside another total it would say nothing
    most = facts.most if total is not None and total == facts.ours else None
    return PlainResult(
        category=facts.category,
        total=brief(total) if total is not None else "",
        most=brief(most) if most is not None else "",
        placing=placing_words(facts.placing, facts.field_size, tied=facts.tied),
        stamps=_stamps(facts),
        url=links.to("insight:show_entry", facts.pk),
        sheets_url=links.to("judging:record_scores", facts.pk),
        papers=facts.has_papers,
        disqualified=facts.disqualified,
    )


# What happens on any honest table, and what another stamp says already.
ORDINARY = {"total_only", "tied_drop", "filled_sheet", "no_losses"}


def _stamps(facts: Facts) -> list[tuple[str, str]]:
    stamps = [(f"for {facts.cooked_for}", "")] if facts.cooked_for else []
    if facts.disqualified:
        stamps.append(("disqualified", "hot"))
    if facts.has_papers:
        if less := basis_words(facts.basis):
            stamps.append((less, ""))
    elif not facts.disqualified:
        stamps.append(("no papers yet", "due"))
    if facts.ours is not None and differs(facts.ours, facts.posted):
        stamps.append((f"our sum {brief(facts.ours)}", "hot"))
    if any(flag["kind"] not in ORDINARY for flag in facts.flags or ()):
        stamps.append(("odd papers", "due"))
    return stamps


def scores_page(
    team: Team, today: date, *, category: UUID | None, season: int | None, page: int
) -> ScoresPage:
    """One page of what every entry got, newest first; two queries.

    Takes in what has papers and what was cooked by today. A page beyond the last is the last.
    """
    entries = _entries(team, today, category, season)
    pages = Paginator(entries.values_list(*FACTS, *CONTEST), A_PAGE)
    shown = pages.get_page(page)
    links = Links(team)
    rows = [_row(columns, links) for columns in shown.object_list]
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
    return entries.order_by(
        "-contest__held_on",
        "contest__name",
        "contest_id",
        "category__ancillary",
        "category__name",
        "pk",
    )


CONTEST = ("contest__held_on", "contest__name", "contest__kind")


def _row(columns: Sequence[Any], links: Links) -> ScoreRow:
    facts, (held_on, name, kind) = Facts(*columns[: len(FACTS)]), columns[len(FACTS) :]
    return ScoreRow(
        held_on=held_on,
        contest=name,
        contest_url=links.to("contests:show_contest", facts.contest_id),
        practice=kind == Contest.Kind.PRACTICE,
        result=plain_result(facts, links),
    )


def score_filters(team: Team) -> tuple[Sequence[Category], list[int]]:
    """The team's categories, and the years of its contests, latest first; two queries."""
    contests = Contest.objects.for_team(team).order_by()
    years = contests.values_list(year_of("held_on"), flat=True).distinct()
    return list(Category.objects.for_team(team)), sorted(map(int, years), reverse=True)
