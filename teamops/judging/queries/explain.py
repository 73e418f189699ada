"""How a total came about, line by line: sheets, what was left out, divided, rounded, taken off."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from teamops.calc.scoring import (
    Aggregate,
    CriterionResult,
    DropScope,
    RoundWhere,
    Rules,
    SheetResult,
    exact_sum,
)
from teamops.calc.words import brief, count_of, list_words, opening, plain
from teamops.judging.given import GivenTotals
from teamops.judging.reckon import Reckoning
from teamops.judging.rounds import RoundTotal
from teamops.judging.settling import Settled
from teamops.rules.models import Criterion

SHOWN = Decimal("0.000001")


@dataclass(frozen=True, slots=True)
class Step:
    """One line of the way to a total; `counts` is false for what is not in it. [points]"""

    words: str
    points: Decimal | None = None
    counts: bool = True
    is_sum: bool = False


def explain(reckoning: Reckoning, settled: Settled) -> tuple[Step, ...]:
    """The way from the sheets to the total, for the deciding round first to last; no query."""
    rules, total = reckoning.rules, reckoning.total
    if rules is None or total is None or not any(s.total is not None for s in total.sheets):
        return ()
    steps: list[Step] = []
    several = len(reckoning.rounds) > 1
    for one in reckoning.rounds:
        if several:
            stands = "" if one.decides else ", which does not decide"
            steps.append(Step(f"{opening(one.label)}{stands}", counts=one.decides))
        if one.decides or several:
            steps += _round(one, rules)
    if sum(one.decides for one in reckoning.rounds) > 1:
        steps.append(Step("The rounds added up", _shown(total.total), is_sum=True))
    return (*steps, *_end(settled))


def explain_given(
    given: GivenTotals, criteria: Sequence[Criterion], settled: Settled
) -> tuple[Step, ...]:
    """The way from a total a criterion to the total."""
    steps = [
        Step(row.name, _shown(given.lines[row.pk].earned))
        for row in criteria
        if row.pk in given.lines
    ]
    return (*steps, Step("Added up", _shown(given.total), is_sum=True), *_end(settled))


def _round(one: RoundTotal, rules: Rules) -> Iterator[Step]:
    result = one.result
    for panel in rules.panel_keys:
        sheets = [s for s in result.sheets if s.panel == panel and s.total is not None]
        columns = [column for column in result.criteria if column.panel == panel]
        if panel and len(rules.panel_keys) > 1:
            yield Step(f"The panel {panel}", counts=one.decides)
        if rules.drop_scope is DropScope.CRITERION:
            yield from _by_criterion(columns, rules)
        else:
            yield from _by_sheet(sheets, rules)
    if len(rules.panel_keys) > 1:
        yield Step("The panels added up", _shown(result.total), is_sum=True)
    if rules.round_where is RoundWhere.TOTAL and rules.rounding_places is not None:
        places = count_of(rules.rounding_places, "place")
        yield Step(f"Rounded by the rulebook to {places}", _shown(result.total), is_sum=True)
    if result.total is None:
        yield Step(result.why_no_total, counts=False)


def _by_sheet(sheets: Sequence[SheetResult], rules: Rules) -> Iterator[Step]:
    for sheet in sheets:
        name = "The average of the others, for a missing sheet" if sheet.filled else sheet.label
        why = "" if sheet.counts else f": does not count, {sheet.why_not}"
        yield Step(f"{opening(name)}{why}", _shown(sheet.total), sheet.counts)
    counted = [sheet.total for sheet in sheets if sheet.counts and sheet.total is not None]
    if not counted:
        return
    total = exact_sum(counted)
    yield Step(f"{opening(count_of(len(counted), 'sheet'))} added up", _shown(total), is_sum=True)
    if rules.aggregate not in (Aggregate.SUM, Aggregate.RANK_SUM) and len(counted) > 1:
        total /= len(counted)
        yield Step(f"Divided by {len(counted)}", _shown(total), is_sum=True)
    if rules.factor != 1:
        yield Step(f"Times {plain(rules.factor)}", _shown(total * rules.factor), is_sum=True)


def _by_criterion(columns: Sequence[CriterionResult], rules: Rules) -> Iterator[Step]:
    """Where marks are dropped criterion by criterion, the criteria are what adds up."""
    for column in columns:
        if not column.all_marks or column.earned is None:
            continue
        marks = list_words([brief(mark) for mark in column.kept_marks])
        out = f"; {list_words(column.dropped)} left out" if column.dropped else ""
        worth = column.weight * rules.factor
        times = f", times {plain(worth)}" if worth != 1 else ""
        divided = f", divided by {len(column.kept_marks)}"
        mean = divided if rules.aggregate not in (Aggregate.SUM, Aggregate.RANK_SUM) else ""
        yield Step(f"{column.name}: {marks}{mean}{times}{out}", _shown(column.earned))
    known = [column.earned for column in columns if column.earned is not None]
    if known:
        yield Step("The criteria added up", _shown(exact_sum(known)), is_sum=True)


def _end(settled: Settled) -> Iterator[Step]:
    if settled.words:
        yield Step(settled.words, -settled.docked if settled.docked else None)
    if settled.docked:
        yield Step("Our total", _shown(settled.total), is_sum=True)


def _shown(value: Decimal | None) -> Decimal | None:
    """A number as results keep it."""
    return None if value is None else value.quantize(SHOWN, ROUND_HALF_UP)
