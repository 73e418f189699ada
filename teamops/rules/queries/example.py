"""A worked example: an invented table of marks, and all that a rulebook makes of it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal, InvalidOperation

from teamops.calc.scoring import (
    Aggregate,
    Criterion,
    Direction,
    DropScope,
    Result,
    Rules,
    Sheet,
    Tie,
    score,
    show_tie,
)
from teamops.calc.words import brief, list_words, opening
from teamops.rules.queries.words import full_box, is_bounded

MOST_ROWS = 12  # judges shown; a table of more is cut short and says so
# How far up the scale each invented mark lies: good, uneven, one low sheet at the end.
HEIGHTS = tuple(map(Decimal, ("0.8", "0.75", "0.9", "0.7", "0.85", "0.8", "0.65")))
LOW = Decimal("0.5")


@dataclass(frozen=True, slots=True)
class Cell:
    """One box of the table: what it is called on the page, and what stands in it."""

    name: str
    value: str
    label: str


@dataclass(frozen=True, slots=True)
class Line:
    """One judge's row; `why_not` is empty where the sheet counts."""

    label: str
    cells: tuple[Cell, ...]
    total: str
    why_not: str
    total_name: str


@dataclass(frozen=True, slots=True)
class PanelTable:
    """One panel's table; `name` is empty where there is only one."""

    name: str
    columns: tuple[str, ...]
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class WorkedExample:
    """An invented table worked out line by line; all in words ready to print."""

    panels: tuple[PanelTable, ...]
    total: str
    full: str
    sums: tuple[str, ...]
    notes: tuple[str, ...]
    tie_intro: str
    tie_steps: tuple[str, ...]
    tie_end: str
    bounded: bool  # whether `full` is a number


@dataclass(frozen=True, slots=True)
class _Row:
    sheet: Sheet
    cells: tuple[Cell, ...]


def example_of(rules: Rules) -> WorkedExample:
    """The example that a rulebook is shown with."""
    return work_out(rules, {})


def work_out(rules: Rules, typed: Mapping[str, str]) -> WorkedExample:
    """The table with what was typed into it, the rest invented from the scales; no query.

    What is no number is left out and said; nothing is refused.
    """
    wrong: list[str] = []
    rows = list(_rows(rules, typed, wrong))
    sheets = [row.sheet for row in rows]
    result = score(sheets, rules)
    intro, steps, end = _tie(show_tie(sheets, rules), rules)
    return WorkedExample(
        panels=tuple(_panel(rules, panel, rows, result) for panel in rules.panel_keys),
        total="" if result.total is None else _shown(result.total, rules),
        full=full_box(rules),
        sums=tuple(_sums(rules, result)),
        notes=(*wrong, *(flag.words for flag in result.flags)),
        bounded=is_bounded(rules),
        tie_intro=intro,
        tie_steps=steps,
        tie_end=end,
    )


def _rows(rules: Rules, typed: Mapping[str, str], wrong: list[str]) -> Iterator[_Row]:
    number = 0
    for panel in rules.panel_keys:
        expected, _ = rules.panel_sheets(panel)
        for judge in range(1, min(expected, MOST_ROWS) + 1):
            number += 1
            label = f"judge {judge}" if len(rules.panel_keys) == 1 else f"{panel} judge {judge}"
            cells, marks = [], {}
            for place, criterion in enumerate(rules.panel_criteria(panel)):
                name = f"x{number}-{criterion.key}"
                text = typed.get(name)
                if text is None:
                    last = judge == expected and judge > 1
                    text = brief(invented(criterion, judge, place, last=last, rules=rules))
                marks[criterion.key] = _mark(text, criterion, wrong)
                cells.append(Cell(name, text, f"{criterion.name}, {label}"))
            yield _Row(Sheet(label.strip(), marks, panel=panel), tuple(cells))


def invented(criterion: Criterion, judge: int, place: int, *, last: bool, rules: Rules) -> Decimal:
    """A likely mark on this scale, on its steps; the last judge is the hard one."""
    if rules.aggregate is Aggregate.RANK_SUM or rules.direction is Direction.LOW:
        return (criterion.least or Decimal(1)) + (judge * 2 + place) % 5
    low = criterion.least if criterion.least is not None else Decimal(0)
    high = criterion.most if criterion.most is not None else max(low, Decimal(0)) + 10
    low = min(low, high)
    height = LOW if last else HEIGHTS[(judge * 3 + place * 2) % len(HEIGHTS)]
    step = criterion.step or Decimal(1)
    steps = ((high - low) * height / step).quantize(Decimal(1), ROUND_HALF_UP)
    return min(low + steps * step, high)


def _mark(text: str, criterion: Criterion, wrong: list[str]) -> Decimal | None:
    text = text.strip().replace(",", ".")
    if not text:
        return None
    try:
        mark = Decimal(text)
    except InvalidOperation:
        mark = Decimal("NaN")
    if not mark.is_finite() or abs(mark) >= 10_000:
        wrong.append(f"{criterion.name}: “{text[:20]}” is not a mark, so it is left out.")
        return None
    return mark.quantize(Decimal("0.001"), ROUND_HALF_UP)


def _panel(rules: Rules, panel: str, rows: list[_Row], result: Result) -> PanelTable:
    lines = []
    for number, (row, told) in enumerate(zip(rows, result.sheets, strict=False), start=1):
        if row.sheet.panel == panel:
            total = "" if told.total is None else brief(told.total)
            lines.append(Line(told.label, row.cells, total, told.why_not, f"x{number}-total"))
    columns = tuple(criterion.name for criterion in rules.panel_criteria(panel))
    return PanelTable(panel if len(rules.panel_keys) > 1 else "", columns, tuple(lines))


def _sums(rules: Rules, result: Result) -> Iterator[str]:
    """How the total comes about, in sentences with its numbers."""
    for sheet in result.sheets:
        if sheet.why_not:
            yield f"{opening(sheet.label)} does not count: {sheet.why_not}."
    if result.total is None:
        yield result.why_no_total
        return
    by_criterion = rules.drop_scope is DropScope.CRITERION
    for row in result.criteria if by_criterion else ():
        if row.dropped:
            yield f"{row.name}: the mark of {list_words(row.dropped)} does not count."
    parts = [
        _criteria_sum(result, panel) if by_criterion else _sheets_sum(rules, result, panel)
        for panel in rules.panel_keys
    ]
    total = _shown(result.total, rules)
    if rules.rounding_places is not None and rules.round(result.total) != result.total:
        total = f"{brief(result.total)}, shown as {total}"
    yield f"{' + '.join(parts)} = {total}."


def _criteria_sum(result: Result, panel: str) -> str:
    own = [row for row in result.criteria if row.panel == panel]
    return " + ".join(f"{row.name} {brief(row.earned or Decimal(0))}" for row in own)


def _sheets_sum(rules: Rules, result: Result, panel: str) -> str:
    """One panel's sheets added up as the rulebook does: “(41 + 38.5) ÷ 2 × 1.5”."""
    kept = [s.total for s in result.sheets if s.panel == panel and s.counts and s.total is not None]
    words = " + ".join(map(brief, kept)) or "0"
    one = len(kept) < 2
    if rules.aggregate not in (Aggregate.SUM, Aggregate.RANK_SUM) and not one:
        words, one = f"({words}) ÷ {len(kept)}", True
    if rules.factor == 1:
        return words
    return f"{words if one else f'({words})'} × {brief(rules.factor)}"


def _tie(tie: Tie | None, rules: Rules) -> tuple[str, tuple[str, ...], str]:
    """A tie's part of the example: how box B comes to the same, each step, who is ahead."""
    if tie is None:
        return "", (), ""
    first = tie.places[0]
    same = f"Box B also comes to {_shown(first.total or Decimal(0), rules)}"
    alike = tie.differs == "the same marks"
    intro = f"{same}, with the same marks." if alike else f"{same}: there, {tie.differs}."
    end = "They share the place." if first.shared else f"{opening(first.label)} is ahead."
    return intro, tuple(step.words for step in tie.steps), end


def _shown(total: Decimal, rules: Rules) -> str:
    return brief(rules.round(total))
