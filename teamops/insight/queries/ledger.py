"""The points ledger of a category: what each criterion costs at a contest, and how sure that is."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from uuid import UUID

import numpy as np
from django.utils.safestring import SafeString

from teamops.calc import scoring
from teamops.calc.ledger import UsualLosses, Verdict, usual_losses
from teamops.insight.bars import Amount, bars
from teamops.insight.drawings import draw_bar
from teamops.insight.queries.choices import Selection
from teamops.insight.queries.days import Boxes, ContestDay, contest_days
from teamops.insight.words import count_words, untold_words, usual_words
from teamops.judging.queries.changes import Pattern, change_patterns
from teamops.rules.models import Criterion, Rulebook
from teamops.rules.records import rules_of
from teamops.teams.models import Team

DRAWS = 5_000  # tell a chance to about one percent, in a few milliseconds
SEED = 1  # the same sheets always give the same ranges


@dataclass(frozen=True, slots=True)
class LedgerRow:
    """One criterion: its mean mark, and the points it costs at a full table.

    `low` to `high` hold the usual loss with a chance of 80 %; `chance` (0 to 1) is that of being
    the costliest. The three are None where the contests are too few to say.
    """

    name: str
    mean: float | None
    lost: float
    low: float | None
    high: float | None
    chance: float | None
    worst: bool
    bar: SafeString

    @property
    def percent(self) -> int | None:
        """The chance in whole percent, never 0 or 100: nothing here is certain."""
        return None if self.chance is None else min(max(round(100 * self.chance), 1), 99)


@dataclass(frozen=True, slots=True)
class CategoryLedger:
    """The ledger over the contests of a selection; `rows` are empty where nothing can be told.

    `most` is what a full box earns, `lost` and `earned` a contest's average, scaled to a full
    table where a judge was missing. `rounding` is what only the rulebook's rounding took, and
    `docked` what was taken off for lateness.
    """

    selection: Selection
    criteria: tuple[Criterion, ...]
    days: tuple[ContestDay, ...]
    rows: tuple[LedgerRow, ...]
    most: float
    rounding: float
    docked: float
    contests: int
    sheets: int
    sentence: str
    notes: tuple[str, ...]

    @property
    def lost(self) -> float:
        return sum(row.lost for row in self.rows) + self.rounding + self.docked

    @property
    def earned(self) -> float:
        return self.most - self.lost

    @property
    def has_ranges(self) -> bool:
        """Whether there is a likely range to show; the sentence says why where there is none."""
        return any(row.low is not None for row in self.rows)

    @property
    def span(self) -> str:
        """What stands behind the numbers: 8 contests, 40 sheets."""
        contests, sheets = count_words(self.contests, "contest"), count_words(self.sheets, "sheet")
        return f"{contests}, {sheets}"


def category_ledger(team: Team, selection: Selection) -> CategoryLedger:
    """The ledger of a selection; four queries, however many contests."""
    books = Rulebook.objects.for_team(team).prefetch_related("criteria")
    rulebook = books.get(pk=selection.rulebook_id)
    criteria = tuple(rulebook.criteria.all())
    days = contest_days(team, selection, [criterion.pk for criterion in criteria])
    return ledger_of(selection, criteria, days, full_table(rulebook), untold_words(rulebook))


def ledger_of(
    selection: Selection,
    criteria: Sequence[Criterion],
    days: Sequence[ContestDay],
    full: Sequence[float],
    untold: str = "",
) -> CategoryLedger:
    """The ledger of these days; `full` is what each criterion earns at a full table. No query.

    `untold` says why the rulebook lets no loss be told, if so.
    """
    counted = [day for day in days if day.counts] if criteria else []
    known = [day.known for day in counted]
    rows, usual = _rows(criteria, full, known) if known else ((), None)
    rounding, docked = (
        sum([getattr(day, name) for day in counted]) / max(len(counted), 1)
        for name in ("rounding", "docked")
    )
    lost = sum(row.lost for row in rows) + rounding + docked
    return CategoryLedger(
        selection=selection,
        criteria=tuple(criteria),
        days=tuple(days),
        rows=rows,
        most=sum(full),
        rounding=rounding,
        docked=docked,
        contests=len(counted),
        sheets=sum([day.sheets for day in counted]),
        sentence=usual_words(usual, lost, untold),
        notes=() if untold else tuple(_notes(days, sum(full))),
    )


def full_table(rulebook: Rulebook) -> list[float]:
    """What each criterion earns if every expected judge gives the most; criteria prefetched."""
    if not rulebook.criteria.all():
        return []
    rules = rules_of(rulebook)
    sheets = []
    for panel in rules.panel_keys:
        best = {criterion.key: criterion.most for criterion in rules.panel_criteria(panel)}
        sheet = scoring.Sheet("a judge", best, panel=panel)
        sheets += [sheet] * rules.panel_sheets(panel)[0]
    most = {row.key: row.most for row in scoring.score(sheets, rules).criteria}
    return [float(most[criterion.key] or 0) for criterion in rules.criteria]


def _rows(
    criteria: Sequence[Criterion], full: Sequence[float], days: Sequence[Boxes]
) -> tuple[tuple[LedgerRow, ...], UsualLosses]:
    usual = usual_at_full_table(criteria, full, days)
    worst = usual.leader if usual.verdict is Verdict.NAMED else None
    drawn = bars([Amount(x.average, x.low, x.high, x.key == worst) for x in usual.lines])
    columns = zip(*(known.means for known in days), strict=True)
    means = [[mean for mean in column if mean is not None] for column in columns]
    rows = [
        LedgerRow(
            name=line.name,
            mean=sum(some) / len(some) if some else None,
            lost=line.average,
            low=line.low,
            high=line.high,
            chance=line.chance,
            worst=bar.worst,
            bar=draw_bar(bar),
        )
        for line, some, bar in zip(usual.lines, means, drawn, strict=True)
    ]
    return tuple(rows), usual


def usual_at_full_table(
    criteria: Sequence[Criterion], full: Sequence[float], days: Sequence[Boxes]
) -> UsualLosses:
    """What each criterion usually costs at a full table; one contest at least.

    A contest speaks through what each criterion lost, as a mark on its scale: so its losses are
    those of the entry's own ledger, whatever the rulebook drops or averages, and a table that was
    short of a judge weighs no less than a full one.
    """
    scales = [
        scoring.Criterion(
            key=row.key, name=row.name, weight=_worth(row, most), least=_foot(row), most=row.most
        )
        for row, most in zip(criteria, full, strict=True)
    ]
    lost, most = (np.array([getattr(day, name) for day in days]) for name in ("lost", "most"))
    scaled = lost * np.divide(np.array(full), most, out=np.ones_like(lost), where=most > 0)
    short = scaled / np.array([float(scale.weight) for scale in scales])
    marks = np.array([float(row.most or 0) for row in criteria]) - short
    tables = list(marks[:, np.newaxis, :])
    return usual_losses(tables, scales, 1, np.random.default_rng(SEED), draws=DRAWS)


def _worth(row: Criterion, most: float) -> Decimal:
    """What a mark of this criterion is worth at a full table; 1 where a full one earns nothing."""
    return Decimal(str(most)) / row.most if row.most and most > 0 else Decimal(1)


def _foot(row: Criterion) -> Decimal:
    """The lowest mark; where the scale is open below, nothing, or a mark under the highest."""
    if row.least is not None:
        return row.least
    return min(Decimal(0), (row.most or Decimal(0)) - 1)


def _notes(days: Sequence[ContestDay], most: float) -> list[str]:
    """What a reader of the table should know about it."""
    counted = [day.known for day in days if day.counts]
    short = sum(1 for known in counted if abs(sum(known.most) - most) > 1e-4)
    several = sum(1 for known in counted if known.number > 1)
    silent = sum(1 for day in days if day.why_out and not day.left_out)
    notes = []
    if short:
        many = "One table was" if short == 1 else f"{short} tables were"
        notes.append(f"{many} not a full one; losses are scaled to a full table.")
    if several:
        many = "One contest" if several == 1 else f"{several} contests"
        notes.append(f"{many} with two boxes or more: they are averaged and count once.")
    if silent:
        many = "One contest gave" if silent == 1 else f"{silent} contests gave"
        notes.append(f"{many} no marks that can be counted here.")
    return notes


def changes_within(team: Team, category_id: UUID, days: Sequence[ContestDay]) -> list[Pattern]:
    """The category's changes that came or went among these contests; two queries, or none."""
    contests = [(day.contest_id, day.held_on) for day in days]
    patterns = change_patterns(team, category_id, contests)
    return [pattern for pattern in patterns if pattern.differs]
