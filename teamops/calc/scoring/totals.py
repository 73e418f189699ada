"""What a table of marks totals, sheet by sheet and criterion by criterion."""

from collections.abc import Iterator, Sequence
from decimal import Decimal, localcontext

from teamops.calc.scoring.choose import Choice, TiedDrop, choose
from teamops.calc.scoring.records import CriterionResult, Flag, FlagKind, Result, Sheet, Standing
from teamops.calc.scoring.result import PanelResult, combine
from teamops.calc.scoring.rules import (
    EXACT,
    ZERO,
    Aggregate,
    Criterion,
    Direction,
    DropScope,
    MissingSheet,
    Rules,
    settle,
)
from teamops.calc.scoring.table import Row, Table, goodness, lay_out
from teamops.calc.words import brief, list_words, number_word, opening, plain


def score(sheets: Sequence[Sheet], rules: Rules) -> Result:
    """What the sheets of one entry come to under the rules.

    Takes the paper as it is: too many sheets, blank cells, odd marks and printed totals all give
    the best total that can be worked out, with flags. A blank cell adds nothing: its sheet counts
    what it has, or its printed total where there is one. A sheet without any mark or total is as
    if it never came.
    """
    with localcontext(EXACT):
        panels = [
            _score_panel(lay_out(rules, panel, own), rules)
            for panel, own in _by_panel(sheets, rules).items()
        ]
        return combine(rules, panels)


def _by_panel(sheets: Sequence[Sheet], rules: Rules) -> dict[str, list[tuple[int, Sheet]]]:
    """Each panel's sheets; one with a panel nobody knows goes where its marks belong."""
    panels: dict[str, list[tuple[int, Sheet]]] = {panel: [] for panel in rules.panel_keys}
    for index, sheet in enumerate(sheets):
        own = [rules.by_key[key].panel for key in sheet.marks if key in rules.by_key]
        first = [*own, *rules.panel_keys][0]
        panels[sheet.panel if sheet.panel in panels else first].append((index, sheet))
    return panels


def _score_panel(table: Table, rules: Rules) -> PanelResult:
    if rules.drop_scope is DropScope.CRITERION:
        panel = _by_criterion(table, rules)
    else:
        panel = _by_sheet(table, rules)
    came = sum(1 for row in table.present if row.index is not None)
    if not came:
        panel.total, panel.why_no_total = None, "No sheet has a mark yet."
    elif rules.missing_sheet is MissingSheet.REFUSE and came < table.expected:
        words = f"{opening(number_word(came))} of {number_word(table.expected)} sheets are in; "
        panel.total = None
        panel.why_no_total = f"{words}this rulebook gives no total before all are."
    return panel


def _by_sheet(table: Table, rules: Rules) -> PanelResult:
    """Total by whole sheets: some count, the others do not."""
    rows = table.present
    worth = [goodness(row, table, rules) for row in rows]
    choice = choose([row.total or ZERO for row in rows], worth, rules)
    for row, standing in zip(rows, choice.standings, strict=True):
        row.standing = standing
    table.flags += _choice_flags(choice, table, rules)
    kept = [row for row in rows if row.standing is Standing.COUNTS]
    divisor = _divisor(len(kept), rules)
    total = rules.factor * sum((row.total or ZERO for row in kept), ZERO) / divisor
    columns = [_column(c, rows, kept, divisor, rules) for c in table.criteria]
    return PanelResult(table, total, _most(columns, rules), columns)


def _by_criterion(table: Table, rules: Rules) -> PanelResult:
    """Total by criteria: within each, some marks count and the others do not."""
    rows = table.present
    columns = []
    for criterion in table.criteria:
        marked = [row for row in rows if criterion.key in row.marks]
        choice = choose([row.marks[criterion.key] for row in marked], [()] * len(marked), rules)
        if choice.too_few_to_drop:
            words = f"Too few marks to drop any in {criterion.name.lower()}; all of them count."
            table.flags.append(Flag(FlagKind.NO_DROP, words, None, criterion.key))
        kept = [r for r, s in zip(marked, choice.standings, strict=True) if s is Standing.COUNTS]
        columns.append(_column(criterion, marked, kept, _divisor(len(kept), rules), rules))
    for row in rows:
        row.standing = Standing.COUNTS
    total = sum((column.earned or ZERO for column in columns), ZERO)
    panel = PanelResult(table, total, _most(columns, rules), columns)
    if not all(row.marks for row in rows):
        panel.total = None
        panel.why_no_total = "Marks are dropped by criterion, and a sheet gives only its total."
    return panel


def _column(
    criterion: Criterion, rows: Sequence[Row], kept: Sequence[Row], divisor: int, rules: Rules
) -> CriterionResult:
    """One criterion's marks; most and earned are in the total's points, not yet settled."""
    key = criterion.key
    marks = tuple(row.marks[key] for row in rows if key in row.marks)
    kept_marks = tuple(row.marks[key] for row in kept if key in row.marks)
    kept_sum = sum(kept_marks, ZERO)
    share = rules.factor * criterion.weight
    return CriterionResult(
        key=key,
        name=criterion.name,
        weight=criterion.weight,
        panel=criterion.panel,
        all_marks=marks,
        kept_marks=kept_marks,
        kept_sum=settle(kept_sum),
        all_sum=settle(sum(marks, ZERO)),
        most=None if criterion.most is None else share * criterion.most * len(kept) / divisor,
        earned=share * kept_sum / divisor,
        lost=None,
        dropped=tuple(row.label for row in rows if row not in kept),
    )


def _divisor(count: int, rules: Rules) -> int:
    return 1 if rules.aggregate in (Aggregate.SUM, Aggregate.RANK_SUM) else max(count, 1)


def _most(columns: Sequence[CriterionResult], rules: Rules) -> Decimal | None:
    if rules.direction is Direction.LOW:  # the most possible would be the worst
        return None
    most = [column.most for column in columns if column.most is not None]
    return sum(most, ZERO) if len(most) == len(columns) else None


def _choice_flags(choice: Choice, table: Table, rules: Rules) -> Iterator[Flag]:
    if choice.too_few_to_drop and table.present:
        yield Flag(FlagKind.NO_DROP, "Too few sheets to drop any; all of them count.")
    if choice.all_outliers and rules.reject_outlier is not None:
        words = (
            f"Every sheet is more than {plain(rules.reject_outlier)} from the average; all count."
        )
        yield Flag(FlagKind.NO_DROP, words)
    for tie in choice.ties:
        yield _tie_flag(tie, table, rules)


def _tie_flag(tie: TiedDrop, table: Table, rules: Rules) -> Flag:
    """Which of several equal sheets was dropped, and what speaks for it."""
    rows = table.present
    gone, kept = rows[tie.gone[-1]], rows[tie.kept[0]]
    end = "lowest" if tie.low else "highest"
    who = list_words([rows[index].label for index in sorted((*tie.gone, *tie.kept))])
    dropped = list_words([rows[index].label for index in tie.gone])
    why = "they have the same marks"
    for criterion in _in_tie_order(table, rules):
        ours, theirs = gone.marks.get(criterion.key), kept.marks.get(criterion.key)
        if ours != theirs:
            why = f"that leaves the better {criterion.name.lower()} marks"
            break
    level = f"{opening(who)} tie for the {end} at {brief(kept.total or ZERO)}"
    words = f"{level}; {dropped} goes, as {why}."
    return Flag(FlagKind.TIED_DROP, words, gone.index)


def _in_tie_order(table: Table, rules: Rules) -> list[Criterion]:
    keys = [step.split(":")[1] for step in rules.tie_break if step.startswith("sum:")]
    first = [rules.by_key[key] for key in keys if rules.by_key[key].panel == table.panel]
    return list(dict.fromkeys([*first, *table.criteria]))
