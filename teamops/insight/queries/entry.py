"""One entry's account: from the most its box could earn down to what it earned."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.utils.safestring import SafeString

from teamops.calc import scoring
from teamops.contests.models import Entry
from teamops.insight.bars import Amount, Bar, bars
from teamops.insight.drawings import draw_bar
from teamops.insight.words import (
    cost_words,
    less_words,
    placing_words,
    share_words,
    shares_note,
    short_name,
    worked_words,
)
from teamops.judging.models import Result
from teamops.judging.queries import (
    CriterionLine,
    Envelope,
    SheetLine,
    entry_result,
    envelope,
)
from teamops.judging.reckon import reckon
from teamops.rules.models import Criterion, Rulebook


@dataclass(frozen=True, slots=True)
class AccountLine:
    """One criterion's line, in points; `worked` says how it came about."""

    name: str
    most: Decimal | None
    earned: Decimal | None
    lost: Decimal | None
    share: str
    worked: str
    bar: Bar

    @property
    def drawn(self) -> SafeString:
        return draw_bar(self.bar)


@dataclass(frozen=True, slots=True)
class GridCell:
    """One mark as the paper has it; `counts` is false where the rules leave it out."""

    points: Decimal | None
    counts: bool
    odd: str


@dataclass(frozen=True, slots=True)
class GridRow:
    """One judge's sheet; `standing` says in words why it does not count, if so."""

    label: str
    cells: tuple[GridCell, ...]
    total: Decimal | None
    standing: str
    says: tuple[str, ...]
    comment: str

    @property
    def is_odd(self) -> bool:
        """Whether a mark on it is odd."""
        return any(cell.odd for cell in self.cells)


@dataclass(frozen=True, slots=True)
class Grid:
    """One panel's sheets; `panel` is empty where the rulebook has just one.

    `columns` are criteria by name, and cut short; none where judges gave totals and no marks.
    """

    panel: str
    columns: tuple[tuple[str, str], ...]
    rows: tuple[GridRow, ...]


@dataclass(frozen=True, slots=True)
class EntryPage:
    """What the page and the report of one entry both show.

    `lines` are empty where the paper gave no marks; `less` then says what it gave. The lines' lost
    plus `rounding` and `docked` add up to exactly `most` less `total`.
    """

    entry: Entry
    most: Decimal | None
    total: Decimal | None
    rounding: Decimal
    docked: Decimal
    lines: tuple[AccountLine, ...]
    grids: tuple[Grid, ...]
    placing: str
    sentence: str
    shares_note: str
    less: tuple[str, ...]
    posted_words: str
    differs: bool
    says: tuple[str, ...]

    @property
    def lost(self) -> Decimal | None:
        """All points lost, where both ends are known."""
        if self.most is None or self.total is None:
            return None
        return self.most - self.total

    @property
    def points(self) -> Decimal | None:
        """The total to show: the posted one, else ours."""
        posted = self.entry.official_total
        return self.total if posted is None else posted


def entry_page(entry: Entry) -> EntryPage:
    """One entry's account, with its sheets; six queries, however many judges.

    The entry comes with its contest, category and rulebook.
    """
    stored = entry_result(entry)
    papers = envelope(entry)
    sheets = [(line.sheet, list(line.sheet.marks.all())) for line in papers.sheets]
    reckoned = reckon(entry.rulebook, sheets).total
    told = stored is not None and stored.has_losses
    result = stored.result if stored else None
    lines = tuple(_lines(stored.criteria if stored else (), papers, reckoned)) if told else ()
    return EntryPage(
        entry=entry,
        most=result.most if result and _has_a_most(entry.rulebook) else None,
        total=result.total if result else None,
        rounding=result.lost_to_rounding if result else Decimal(0),
        docked=result.docked if result else Decimal(0),
        lines=lines,
        grids=tuple(_grids(papers, reckoned)) if _has_sheets(result) else (),
        placing=placing_words(entry.placing, entry.field_size, tied=entry.tied),
        sentence=cost_words([(line.name, line.lost) for line in lines]),
        shares_note=shares_note([line.lost or Decimal(0) for line in lines]),
        less=tuple(less_words(entry, result)),
        posted_words=papers.posted_words,
        differs=not papers.agrees,
        says=papers.says if papers.sheets else (),
    )


def _has_a_most(rulebook: Rulebook) -> bool:
    """Whether a full box is the best one: placings that are added up have no such thing."""
    high = rulebook.direction == Rulebook.Direction.HIGH
    return high and rulebook.aggregate != Rulebook.Aggregate.RANK_SUM


def _has_sheets(result: Result | None) -> bool:
    return result is not None and result.basis in (Result.Basis.MARKS, Result.Basis.JUDGE_TOTALS)


def _lines(
    stored: Sequence[CriterionLine], papers: Envelope, reckoned: scoring.Result | None
) -> list[AccountLine]:
    lost = [line.lost or Decimal(0) for line in stored]
    worst = max(lost, default=Decimal(0))
    amounts = [Amount(float(one), worst=one == worst and one > 0) for one in lost]
    worked = dict(zip((c.pk for c in papers.criteria), _worked(papers, reckoned), strict=False))
    return [
        AccountLine(
            name=line.name,
            most=line.most,
            earned=line.earned,
            lost=line.lost,
            share=share,
            worked=worked.get(line.criterion_id, ""),
            bar=bar,
        )
        for line, share, bar in zip(stored, share_words(lost), bars(amounts), strict=True)
    ]


def _worked(papers: Envelope, reckoned: scoring.Result | None) -> list[str]:
    """How each criterion's points came about, in the rulebook's order."""
    rulebook = papers.entry.rulebook
    by_key = {row.key: row for row in reckoned.criteria} if reckoned else {}
    return [
        worked_words(by_key[criterion.key], criterion, rulebook) if criterion.key in by_key else ""
        for criterion in papers.criteria
    ]


def _grids(papers: Envelope, reckoned: scoring.Result | None) -> list[Grid]:
    dropped = {row.key: row.dropped for row in reckoned.criteria} if reckoned else {}
    grids = []
    for panel in papers.panels:
        criteria: tuple[Criterion, ...]
        criteria = tuple(row for row in papers.criteria if row.panel == panel)
        own = [line for line in papers.sheets if _of_panel(line, panel, papers)]
        if not any(cell.points is not None for line in own for cell in line.cells):
            criteria = ()
        rows = tuple(_grid_row(line, criteria, dropped) for line in own)
        columns = tuple((row.name, short_name(row.name)) for row in criteria)
        if rows:
            grids.append(Grid(panel, columns, rows))
    return grids


def _of_panel(line: SheetLine, panel: str, papers: Envelope) -> bool:
    """Whether this panel's judge wrote the sheet; one panel has every sheet."""
    return len(papers.panels) == 1 or line.sheet.panel == panel


def _grid_row(
    line: SheetLine, criteria: Sequence[Criterion], dropped: dict[str, tuple[str, ...]]
) -> GridRow:
    cells = {cell.criterion.pk: cell for cell in line.cells}
    return GridRow(
        label=line.label[:1].upper() + line.label[1:],
        cells=tuple(
            GridCell(
                points=cells[criterion.pk].points if criterion.pk in cells else None,
                counts=line.counts and line.label not in dropped.get(criterion.key, ()),
                odd=cells[criterion.pk].odd if criterion.pk in cells else "",
            )
            for criterion in criteria
        ),
        total=line.total,
        standing=line.why_not,
        says=line.says if criteria else (),  # that it gives only a total is said once
        comment=line.sheet.comment,
    )
