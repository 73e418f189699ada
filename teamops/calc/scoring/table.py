"""One panel's sheets laid out as a table: what each adds up to, and averages for missing ones."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from teamops.calc.scoring.flags import flag_given_total, flag_sheet
from teamops.calc.scoring.records import Flag, FlagKind, Sheet, Standing
from teamops.calc.scoring.rules import (
    ZERO,
    Criterion,
    Direction,
    MissingSheet,
    RoundWhere,
    Rules,
    settle,
)
from teamops.calc.words import count_of, list_words, number_word, opening, plain


@dataclass(slots=True, eq=False)
class Row:
    """A sheet on the table; `index` is its place among all sheets given, None if filled in.

    `complete` means every mark is there; `sure` that its total is, by marks or as printed.
    """

    label: str
    index: int | None
    marks: dict[str, Decimal]
    total: Decimal | None
    complete: bool
    sure: bool
    head_judge: bool = False
    standing: Standing = Standing.EMPTY


@dataclass(slots=True)
class Table:
    """One panel's rows, with what is odd about them; empty sheets have a row, but no total."""

    panel: str
    criteria: tuple[Criterion, ...]
    expected: int
    least: int
    rows: list[Row]
    flags: list[Flag] = field(default_factory=list)

    @property
    def present(self) -> list[Row]:
        """The sheets that say something, filled ones included."""
        return [row for row in self.rows if row.total is not None]


def lay_out(rules: Rules, panel: str, sheets: Sequence[tuple[int, Sheet]]) -> Table:
    """A panel's table with its odd cells flagged and missing sheets filled in if the rules say so.

    Call it in the exact context.
    """
    criteria = rules.panel_criteria(panel)
    expected, least = rules.panel_sheets(panel)
    table = Table(panel, criteria, expected, least, [])
    for index, sheet in sheets:
        table.flags += flag_sheet(index, sheet, criteria, rules.penalty_mark)
        table.rows.append(_row(index, sheet, criteria, rules, table.flags))
    came = len(table.present)
    table.flags += _count_flags(table, came)
    if rules.missing_sheet is MissingSheet.AVERAGE_REMAINING and least <= came < expected and came:
        _fill(table, expected - came, rules)
    table.flags += _spread_flags(table, rules)
    return table


def goodness(row: Row, table: Table, rules: Rules) -> tuple[Decimal, ...]:
    """What a row brings to the tie-break sums, in the order of the steps, then in print order.

    Dropping the row of least goodness leaves the best sums: adding up keeps this order.
    """
    sign = -1 if rules.direction is Direction.LOW else 1
    worth = []
    for step in rules.tie_break:
        match step.split(":"):
            case ["sum", key, "kept"]:
                worth.append(sign * row.marks.get(key, ZERO))
            case ["count_of", mark] | ["count_of", mark, "kept"]:
                worth.append(Decimal([*row.marks.values()].count(Decimal(mark))))
    worth += [sign * row.marks.get(criterion.key, ZERO) for criterion in table.criteria]
    return tuple(worth)


def _row(
    index: int, sheet: Sheet, criteria: Sequence[Criterion], rules: Rules, flags: list[Flag]
) -> Row:
    marks = {}
    added_up = ZERO
    for criterion in criteria:
        mark = sheet.marks.get(criterion.key)
        if mark is not None:
            marks[criterion.key] = mark
            added_up += criterion.weight * mark
    complete = len(marks) == len(criteria)
    sure = complete or sheet.given_total is not None
    row = Row(sheet.label, index, marks, None, complete, sure, sheet.head_judge)
    if not marks and sheet.given_total is None:
        flags.append(Flag(FlagKind.EMPTY_SHEET, f"{opening(sheet.label)}'s sheet is empty.", index))
        return row
    if rules.round_where is RoundWhere.SHEET:
        added_up = rules.round(added_up)
    row.total = settle(added_up)
    if not row.complete and sheet.given_total is not None:
        row.total = sheet.given_total
        if not marks:
            words = f"{opening(sheet.label)}'s sheet gives only its total."
            flags.append(Flag(FlagKind.TOTAL_ONLY, words, index))
    elif sheet.given_total not in (None, added_up, rules.round(added_up)):
        flags.append(flag_given_total(index, sheet, row.total))
    return row


def _count_flags(table: Table, came: int) -> Iterator[Flag]:
    place = f" on the {table.panel} panel" if table.panel else ""
    verb = "is" if table.expected == 1 else "are"
    words = f"{opening(count_of(came, 'sheet'))}{place}"
    words = f"{words} where {number_word(table.expected)} {verb} expected"
    if came > table.expected:
        yield Flag(FlagKind.TOO_MANY_SHEETS, f"{words}; all of them are used.")
    elif 0 < came < table.least:
        least = number_word(table.least)
        yield Flag(FlagKind.TOO_FEW_SHEETS, f"{words}, and the rulebook wants at least {least}.")
    elif 0 < came < table.expected:
        yield Flag(FlagKind.TOO_FEW_SHEETS, f"{words}.")


def _fill(table: Table, number: int, rules: Rules) -> None:
    """Put the average of the sheets that came in place of those that did not."""
    came = table.present
    marks = {}
    for criterion in table.criteria:
        column = [row.marks[criterion.key] for row in came if criterion.key in row.marks]
        if column:
            marks[criterion.key] = sum(column, ZERO) / len(column)
    total = sum((c.weight * marks[c.key] for c in table.criteria if c.key in marks), ZERO)
    if not all(row.marks for row in came):  # a sheet gives only its total: average the totals
        marks = {}
        total = sum((row.total or ZERO for row in came), ZERO) / len(came)
    whole = len(marks) == len(table.criteria)
    if rules.round_where is RoundWhere.SHEET:
        total = rules.round(total)
    for _ in range(number):
        table.rows.append(Row("the average", None, dict(marks), settle(total), whole, whole))
    verb = "stands" if number == 1 else "stand"
    words = f"The average of the others {verb} in for {count_of(number, 'missing sheet')}."
    table.flags.append(Flag(FlagKind.FILLED_SHEET, words))


def _spread_flags(table: Table, rules: Rules) -> Iterator[Flag]:
    rows = table.present
    if rules.max_spread is None or not rows:
        return
    lowest, highest = (end(rows, key=lambda row: row.total or ZERO) for end in (min, max))
    apart = (highest.total or ZERO) - (lowest.total or ZERO)
    if apart > rules.max_spread:
        who = opening(list_words([lowest.label, highest.label]))
        words = f"{who} are {plain(apart)} points apart"
        limit = plain(rules.max_spread)
        yield Flag(FlagKind.WIDE_SPREAD, f"{words}; more than {limit} is unusual.")
