"""The points ledger of a category: what each criterion costs at a contest, and how sure that is."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from teamops.calc import scoring
from teamops.calc.ledger import UsualLine, UsualLosses, Verdict, usual_losses
from teamops.insight.bars import Amount, Bar, bars
from teamops.insight.queries.choices import Selection
from teamops.insight.queries.days import ContestDay, contest_days
from teamops.insight.words import usual_words
from teamops.judging.models import Change
from teamops.rules.models import Criterion, Rulebook
from teamops.rules.records import rules_of
from teamops.teams.models import Team

DRAWS = 8_000  # tell a chance to about half a percent, in a few milliseconds
SEED = 1  # the same sheets always give the same ranges


@dataclass(frozen=True, slots=True)
class LedgerRow:
    """One criterion: its mean mark, and the points it costs at a full table.

    `low` to `high` hold the usual loss with a chance of 80 %; `chance` (0 to 1) is that of being
    the costliest. The three are None where the contests are too few to say.
    """

    criterion: Criterion
    mean: float | None
    lost: float
    most: float
    low: float | None
    high: float | None
    chance: float | None
    bar: Bar

    @property
    def percent(self) -> int | None:
        """The chance in whole percent, never 0 or 100: nothing here is certain."""
        return None if self.chance is None else min(max(round(100 * self.chance), 1), 99)


@dataclass(frozen=True, slots=True)
class CategoryLedger:
    """The ledger over the contests of a selection; `rows` are empty where nothing can be told.

    `most` is what a full box earns, `lost` and `earned` a contest's average, scaled to a full
    table where a judge was missing. `rounding` is what only the rulebook's rounding took.
    """

    selection: Selection
    rulebook: Rulebook
    days: tuple[ContestDay, ...]
    rows: tuple[LedgerRow, ...]
    most: float
    rounding: float
    contests: int
    sheets: int
    sentence: str
    named: bool
    notes: tuple[str, ...]

    @property
    def lost(self) -> float:
        return sum(row.lost for row in self.rows) + self.rounding

    @property
    def earned(self) -> float:
        return self.most - self.lost

    @property
    def span(self) -> str:
        """What stands behind the numbers: 8 contests, 40 sheets."""
        contests = f"{self.contests} contest{'' if self.contests == 1 else 's'}"
        return f"{contests}, {self.sheets} sheet{'' if self.sheets == 1 else 's'}"


def category_ledger(team: Team, selection: Selection) -> CategoryLedger:
    """The ledger of a selection; four queries, however many contests."""
    rulebook = (
        Rulebook.objects.for_team(team).prefetch_related("criteria").get(pk=selection.rulebook_id)
    )
    criteria = list(rulebook.criteria.all())
    days = tuple(contest_days(team, selection, criteria))
    counted = [d for d in days if d.counts and all(c.pk in d.accounts for c in criteria)]
    full = full_table(rulebook)
    rows, usual = _rows(criteria, full, counted) if counted and criteria else ((), None)
    rounding = math.fsum(day.rounding for day in counted) / max(len(counted), 1)
    return CategoryLedger(
        selection=selection,
        rulebook=rulebook,
        days=days,
        rows=rows,
        most=float(sum(full, Decimal(0))),
        rounding=rounding,
        contests=len(counted),
        sheets=sum(day.sheets for day in counted),
        sentence=usual_words(usual, sum(row.lost for row in rows)),
        named=usual is not None and usual.verdict is Verdict.NAMED,
        notes=tuple(_notes(days, counted, criteria, full)),
    )


def full_table(rulebook: Rulebook) -> list[Decimal]:
    """What each criterion earns if every expected judge gives the most; criteria prefetched."""
    rules = rules_of(rulebook)
    sheets = []
    for panel in rules.panel_keys:
        best = {criterion.key: criterion.most for criterion in rules.panel_criteria(panel)}
        sheet = scoring.Sheet("a judge", best, panel=panel)
        sheets += [sheet] * rules.panel_sheets(panel)[0]
    most = {row.key: row.most for row in scoring.score(sheets, rules).criteria}
    return [most[criterion.key] or Decimal(0) for criterion in rules.criteria]


def _rows(
    criteria: Sequence[Criterion], full: Sequence[Decimal], days: Sequence[ContestDay]
) -> tuple[tuple[LedgerRow, ...], UsualLosses]:
    usual = _usual(criteria, full, days)
    worst = usual.leader if usual.verdict is Verdict.NAMED else None
    amounts = [Amount(x.average, x.low, x.high, x.key == worst) for x in usual.lines]
    drawn = bars(amounts)
    rows = tuple(map(_row, criteria, full, usual.lines, drawn, [days] * len(criteria)))
    return rows, usual


def _row(
    criterion: Criterion, most: Decimal, line: UsualLine, bar: Bar, days: Sequence[ContestDay]
) -> LedgerRow:
    means = [mean for day in days if (mean := day.accounts[criterion.pk].mean) is not None]
    return LedgerRow(
        criterion=criterion,
        mean=math.fsum(means) / len(means) if means else None,
        lost=line.average,
        most=float(most),
        low=line.low,
        high=line.high,
        chance=line.chance,
        bar=bar,
    )


def _usual(
    criteria: Sequence[Criterion], full: Sequence[Decimal], days: Sequence[ContestDay]
) -> UsualLosses:
    """What each criterion usually costs at a full table.

    A contest speaks through the part of the most that each criterion kept, as a mark on its scale:
    so its losses are those of the entry's own ledger, whatever the rulebook drops or averages, and
    a table that was short of a judge weighs no less than a full one.
    """
    scales = [
        scoring.Criterion(
            key=row.key,
            name=row.name,
            weight=most / row.most if row.most else Decimal(0),
            least=row.least,
            most=row.most,
        )
        for row, most in zip(criteria, full, strict=True)
    ]
    tops = np.array([float(row.most) for row in criteria])
    keys = [row.pk for row in criteria]
    kept = [[day.accounts[key].kept for key in keys] for day in days]
    marks = [tops * [row] for row in np.array(kept)]
    return usual_losses(marks, scales, 1, np.random.default_rng(SEED), draws=DRAWS)


def _notes(
    days: Sequence[ContestDay],
    counted: Sequence[ContestDay],
    criteria: Sequence[Criterion],
    full: Sequence[Decimal],
) -> list[str]:
    """What a reader of the table should know about it."""
    notes = []
    most = float(sum(full, Decimal(0)))
    given = [math.fsum(day.accounts[c.pk].most for c in criteria) for day in counted]
    short = sum(1 for some in given if not math.isclose(some, most, rel_tol=1e-6))
    if short:
        many = "One table was" if short == 1 else f"{short} tables were"
        notes.append(f"{many} not a full one; losses are scaled to a full table.")
    boxes = sum(1 for day in counted if day.counted > 1)
    if boxes:
        many = "One contest" if boxes == 1 else f"{boxes} contests"
        notes.append(f"{many} with two boxes or more: they are averaged and count once.")
    silent = sum(1 for day in days if day.why_out and not day.left_out)
    if silent:
        many = "One contest gave" if silent == 1 else f"{silent} contests gave"
        notes.append(f"{many} no marks that can be counted here.")
    return notes


def changes_within(team: Team, days: Sequence[ContestDay]) -> list[Change]:
    """What the team changed while these contests ran, in order; one query, none without days."""
    if not days:
        return []
    rows = Change.objects.for_team(team).filter(starts_on__lte=days[-1].held_on)
    return [row for row in rows if row.ends_on is None or row.ends_on >= days[0].held_on]
