"""The panels' points put together: the entry's total, and losses that add up to the last digit."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from teamops.calc.scoring.records import CriterionResult, Flag, Result, SheetResult, Standing
from teamops.calc.scoring.rules import ZERO, Aggregate, Direction, RoundWhere, Rules, settle
from teamops.calc.scoring.table import Table
from teamops.calc.words import plain

WHOLE = (Aggregate.SUM, Aggregate.MEAN)  # where every mark that counts is in the total


@dataclass(slots=True)
class PanelResult:
    """One panel's part: its points (None where they cannot be told), and how they came about."""

    table: Table
    total: Decimal | None
    most: Decimal | None
    criteria: list[CriterionResult]
    why_no_total: str = ""


def combine(rules: Rules, panels: Sequence[PanelResult]) -> Result:
    """The entry's result out of its panels'. Call it in the exact context."""
    why = _once_each([panel.why_no_total for panel in panels])
    why_no_losses = _once_each([p.why_no_total or _why_no_losses(p, rules) for p in panels])
    total = None if why else settle(sum((p.total or ZERO for p in panels), ZERO))
    most = None
    if all(panel.most is not None for panel in panels):
        most = settle(sum((panel.most or ZERO for panel in panels), ZERO))
    if total is not None and rules.round_where is RoundWhere.TOTAL:
        total = rules.round(total)
    columns = [column for panel in panels for column in panel.criteria]
    lost_to_rounding = ZERO
    if why_no_losses or total is None or most is None:
        columns = [_without_losses(column, rules) for column in columns]
    else:
        columns, lost_to_rounding = _losses(columns, most - total, rules)
    rows = [row for panel in panels for row in panel.table.present]
    return Result(
        total=total,
        why_no_total=why,
        most=most,
        sheets=_sheet_results(panels, rules),
        criteria=tuple(columns),
        flags=_in_order([flag for panel in panels for flag in panel.table.flags]),
        complete=all(map(_is_complete, panels)),
        why_no_losses=why_no_losses,
        lost_to_rounding=lost_to_rounding,
        head_judge_total=next((row.total for row in rows if row.head_judge), None),
    )


def _losses(
    columns: Sequence[CriterionResult], lost: Decimal, rules: Rules
) -> tuple[list[CriterionResult], Decimal]:
    """The columns with points lost and earned, and what only the rulebook's rounding took."""
    losses = [settle((c.most or ZERO) - (c.earned or ZERO)) for c in columns]
    rest = lost - sum(losses, ZERO)
    if rules.rounding_places is None or rules.round_where is RoundWhere.DISPLAY:
        # Thirds do not end: what their last digits leave goes to the largest loss.
        largest = max(range(len(losses)), key=lambda index: losses[index])
        losses[largest] += rest
        rest = ZERO
    told = []
    for column, loss in zip(columns, losses, strict=True):
        most = settle(column.most or ZERO)
        told.append(replace(column, most=most, earned=most - loss, lost=loss))
    return told, rest


def _without_losses(column: CriterionResult, rules: Rules) -> CriterionResult:
    """The column where losses cannot be told; earned stays if it is part of the total."""
    known = rules.aggregate in WHOLE and column.earned is not None and column.kept_marks
    earned = settle(column.earned) if known and column.earned is not None else None
    return replace(column, most=None, earned=earned)


def _sheet_results(panels: Sequence[PanelResult], rules: Rules) -> tuple[SheetResult, ...]:
    """Every sheet in the order given, filled ones last."""
    placed = [(row, panel) for panel in panels for row in panel.table.rows]
    placed.sort(key=lambda pair: (pair[0].index is None, pair[0].index or 0))
    return tuple(
        SheetResult(
            label=row.label,
            total=row.total,
            standing=row.standing,
            why_not=_why_not(row.standing, rules),
            complete=row.complete,
            filled=row.index is None,
            panel=panel.table.panel,
        )
        for row, panel in placed
    )


def _why_not(standing: Standing, rules: Rules) -> str:
    """Why a sheet of this standing does not count; empty if it does."""
    match standing:
        case Standing.DROPPED_LOW:
            return "lowest, dropped" if rules.drop_low < 2 else "among the lowest, dropped"
        case Standing.DROPPED_HIGH:
            return "highest, dropped" if rules.drop_high < 2 else "among the highest, dropped"
        case Standing.OUTLIER:
            return f"more than {plain(rules.reject_outlier or ZERO)} from the average"
        case Standing.NOT_CLOSEST:
            return "not one of the two closest"
        case Standing.NOT_MIDDLE:
            return "not in the middle"
        case Standing.EMPTY:
            return "empty"
    return ""


def _is_complete(panel: PanelResult) -> bool:
    rows = [row for row in panel.table.rows if row.index is not None]
    return len(rows) == panel.table.expected and all(row.sure for row in rows)


def _in_order(flags: Sequence[Flag]) -> tuple[Flag, ...]:
    """The table's flags first, then sheet by sheet."""
    return tuple(sorted(flags, key=lambda flag: -1 if flag.sheet is None else flag.sheet))


def _why_no_losses(panel: PanelResult, rules: Rules) -> str:
    """Why this panel's points lost cannot be told, or nothing."""
    if rules.direction is Direction.LOW:
        return "The lowest total wins, so no points are lost."
    if rules.aggregate not in WHOLE:
        return "Not every mark that counts is in the total."
    for criterion in panel.table.criteria:
        if criterion.most is None:
            return f"The rulebook does not say the highest mark for {criterion.name.lower()}."
    for row in panel.table.present:
        if row.standing is Standing.COUNTS and not row.complete:
            return f"Marks are missing on the sheet of {row.label}."
    return ""


def _once_each(sentences: Sequence[str]) -> str:
    return " ".join(dict.fromkeys(sentence for sentence in sentences if sentence))
