"""A season of one category in one page: results, ledger, trends, changes, and what to work on."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, NamedTuple
from uuid import UUID

import numpy as np
from django.db.models import Q

from teamops.calc import scoring
from teamops.calc.effects import ChangeEffect, effect_of_averages
from teamops.calc.words import brief
from teamops.contests.models import Contest, Entry
from teamops.insight.links import Links
from teamops.insight.queries.changes_list import ChangeRow, ChangesPage, changes_page
from teamops.insight.queries.choices import Selection
from teamops.insight.queries.days import ContestDay
from teamops.insight.queries.finish import finish_board
from teamops.insight.queries.ledger import CategoryLedger, category_ledger
from teamops.insight.queries.luck import luck_of
from teamops.insight.queries.placing.board import better_marks, rulebook_of
from teamops.insight.queries.report_words import (
    change_words,
    headline_words,
    trend_words,
    work_on_words,
)
from teamops.insight.words import placing_words
from teamops.judging.models import Result
from teamops.rules.models import Criterion
from teamops.teams.models import Team

FEWEST_FOR_A_TREND = 4  # contests: two halves of two


class ReportRow(NamedTuple):
    """One box of the season; `share` is its total as a part of a full box, where both are known."""

    number: str
    contest: str
    held_on: date
    total: str
    share: float | None
    placing: str
    place: int | None
    field: int | None
    remark: str
    url: str

    @property
    def percent(self) -> str:
        """The share in words; a dash where it is not known."""
        return "–" if self.share is None else f"{100 * self.share:.1f} %"


class TrendRow(NamedTuple):
    """A criterion's mean mark in the first half of the contests and in the second, in words."""

    name: str
    first: str
    second: str
    words: str


@dataclass(frozen=True, slots=True)
class SeasonReport:
    """Everything on the report, in words ready to print; empty parts are left out of it."""

    selection: Selection
    headline: str
    rows: tuple[ReportRow, ...]
    ledger: CategoryLedger
    halves: str
    trends: tuple[TrendRow, ...]
    changes: tuple[ChangeRow, ...]
    changes_luck: str
    worth: str
    luck: str
    finish: str
    finish_cautions: tuple[str, ...]
    work_on: tuple[str, ...]

    @property
    def shares(self) -> tuple[tuple[str, float], ...]:
        """Totals in percent of a full box by the number of their row, for the picture."""
        return tuple((row.number, 100 * row.share) for row in self.rows if row.share is not None)


FACTS = (
    "pk", "contest__name", "contest__held_on", "official_total", "result__total", "result__most",
    "placing", "field_size", "tied", "disqualified", "result__docked",
)  # fmt: skip


def season_report(team: Team, selection: Selection, today: date) -> SeasonReport:
    """The report of a selection: as many queries however many contests."""
    rows = _rows(team, selection)
    ledger = category_ledger(team, selection)
    counted = [day for day in ledger.days if day.counts]
    trend = _halves(ledger.criteria, counted)
    changes = _changes(team, selection, today)
    luck = luck_of(team, selection)
    finish = finish_board(team, selection)
    return SeasonReport(
        selection=selection,
        headline=headline_words(
            [(row.place, row.field, row.contest) for row in rows],
            [row.share for row in rows if row.share is not None],
            len({(row.contest, row.held_on) for row in rows}),
        ),
        rows=rows,
        ledger=ledger,
        halves=_halves_words(counted) if trend else "",
        trends=_trend_rows(trend) if trend else (),
        changes=changes.rows,
        changes_luck=changes.luck,
        worth=_worth(team, selection),
        luck=luck.sentence if luck.parts else "",
        finish=finish.sentence if finish.curve else "",
        finish_cautions=finish.cautions if finish.curve else (),
        work_on=(*work_on_words(ledger), *change_words(changes.rows)),
    )


def _rows(team: Team, selection: Selection) -> tuple[ReportRow, ...]:
    """Every box of the selection that was judged, oldest first; one query."""
    since, until = selection.days
    chosen = Q(
        category=selection.category_id,
        rulebook=selection.rulebook_id,
        contest__kind=Contest.Kind.JUDGED,
        cooked_for="",
    )
    if since:
        chosen &= Q(contest__held_on__gte=since)
    if until:
        chosen &= Q(contest__held_on__lte=until)
    judged = ~Q(result=None) & ~Q(result__basis=Result.Basis.NONE)
    judged |= Q(placing__isnull=False) | Q(official_total__isnull=False) | Q(disqualified=True)
    entries = Entry.objects.for_team(team).filter(chosen & judged)
    entries = entries.order_by("contest__held_on", "contest__name", "contest_id", "pk")
    links = Links(team)
    rows: Any = entries.values_list(*FACTS)
    return tuple(_row(n, _Facts(*columns), links) for n, columns in enumerate(rows, start=1))


class _Facts(NamedTuple):
    """What is read of a box; the columns of `FACTS` in their order."""

    pk: UUID
    contest: str
    held_on: date
    posted: Decimal | None
    ours: Decimal | None
    most: Decimal | None
    placing: int | None
    field: int | None
    tied: bool
    disqualified: bool
    docked: Decimal | None


def _row(number: int, facts: _Facts, links: Links) -> ReportRow:
    total = facts.ours if facts.posted is None else facts.posted
    # a full box is known from our sheets alone: beside another total it would say nothing
    most = facts.most if total is not None and total == facts.ours else None
    remarks = []
    if facts.disqualified:
        remarks.append("disqualified")
    if facts.docked:
        remarks.append(f"{brief(facts.docked)} taken off")
    words = brief(total) if total is not None else "–"
    return ReportRow(
        number=str(number),
        contest=facts.contest,
        held_on=facts.held_on,
        total=f"{words} of {brief(most)}" if most else words,
        share=float(total / most)
        if total is not None and most and not facts.disqualified
        else None,
        placing=placing_words(facts.placing, facts.field, tied=facts.tied),
        place=facts.placing,
        field=facts.field,
        remark=", ".join(remarks),
        url=links.to("insight:show_entry", facts.pk),
    )


def _halves(criteria: Sequence[Criterion], days: Sequence[ContestDay]) -> ChangeEffect | None:
    """The second half of the contests against the first, as if it were a change; None if too few.

    Contests stand by their averages, so that a table of many judges weighs no more than one of few.
    """
    whole = [day for day in days if None not in day.known.means]
    if len(whole) < FEWEST_FOR_A_TREND or any(c.least is None or c.most is None for c in criteria):
        return None
    scales = [scoring.Criterion(key=c.key, name=c.name, least=c.least, most=c.most, step=c.step)
              for c in criteria]  # fmt: skip
    averages = np.array([day.known.means for day in whole], dtype=np.float64)
    first, sheets = len(whole) // 2, [max(day.sheets, 1) for day in whole]
    return effect_of_averages(averages, sheets, [n >= first for n in range(len(whole))], scales)


def _halves_words(days: Sequence[ContestDay]) -> str:
    whole = [day for day in days if None not in day.known.means]
    first = len(whole) // 2
    return f"The first {first} contests against the last {len(whole) - first}"


def _changes(team: Team, selection: Selection, today: date) -> ChangesPage:
    """What is written down of this category or of every box, with what its scores tell."""
    return changes_page(team, today, selection.category_id)


def _worth(team: Team, selection: Selection) -> str:
    """Which criterion's next step up would have been worth most; nothing where none can be told."""
    played = better_marks(team, selection, rulebook_of(team, selection), None)
    return played.worth_sentence if played.worth else ""


def _trend_rows(trend: ChangeEffect) -> tuple[TrendRow, ...]:
    return tuple(
        TrendRow(line.name, f"{line.without:.2f}", f"{line.with_it:.2f}", trend_words(line, trend))
        for line in trend.lines
    )
