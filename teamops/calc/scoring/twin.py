"""A second box that ties with a given one, so that a rulebook can show how it decides."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import islice, permutations, product

from teamops.calc.scoring.records import Result, Sheet
from teamops.calc.scoring.rules import EXACT, ONE, Criterion, Rules
from teamops.calc.scoring.ties import Contender, Place, StepShown, rank, tie_steps
from teamops.calc.scoring.totals import score
from teamops.calc.words import list_words, plain

MOST_TRIED = 60  # tables scored in search of one that ties; a few are enough for most books
MOST_STEPS = 6
Moves = Iterator[tuple[str, list[Sheet]]]


@dataclass(frozen=True, slots=True)
class Tie:
    """Two boxes of one total: how the second differs, each step taken, who is where."""

    differs: str
    steps: tuple[StepShown, ...]
    places: tuple[Place, ...]


def show_tie(sheets: Sequence[Sheet], rules: Rules) -> Tie | None:
    """How the rules would part this box from one of the same total; None without a total.

    The second box has the first one's marks with a few moved so that the total stays: the first
    such move that a step before the draw tells apart, else the very same marks.
    """
    ours = score(sheets, rules)
    if ours.total is None:
        return None
    alike = _tie(ours, ours, "the same marks", rules)
    for words, moved in islice(_moves(sheets, ours, rules), MOST_TRIED):
        theirs = score(moved, rules)
        if theirs.total != ours.total:
            continue
        tie = _tie(ours, theirs, words, rules)
        if tie.steps and tie.steps[-1].parts > 1 and tie.steps[-1].step != "draw":
            return tie
    return alike


def _tie(ours: Result, theirs: Result, words: str, rules: Rules) -> Tie:
    boxes = [
        Contender("box A", ours.total, ours, drawn=2),
        Contender("box B", theirs.total, theirs, drawn=1),
    ]
    return Tie(words, tie_steps(boxes, rules), tuple(rank(boxes, rules)))


def _moves(sheets: Sequence[Sheet], result: Result, rules: Rules) -> Moves:
    """Tables a few marks away that may have the same total, likeliest first."""
    kept = {
        index: sheet
        for index, (sheet, told) in enumerate(zip(sheets, result.sheets, strict=False))
        if told.counts and sheet.marks
    }
    rest = {index: sheet for index, sheet in enumerate(sheets) if index not in kept}
    yield from _within_a_sheet(sheets, kept, rules)
    yield from _between_sheets(sheets, kept, rules)
    for index, sheet in rest.items():
        for criterion in rules.panel_criteria(sheet.panel):
            for change in (_step(criterion), -_step(criterion)):
                marks = _moved(sheet, {criterion: change})
                if marks:
                    yield _say(sheet, marks), _with(sheets, {index: marks})


def _within_a_sheet(sheets: Sequence[Sheet], kept: Mapping[int, Sheet], rules: Rules) -> Moves:
    """One criterion up and another down by what weighs the same."""
    for index, sheet in islice(kept.items(), 3):
        for one, other in permutations(rules.panel_criteria(sheet.panel), 2):
            for up, down in product(range(1, MOST_STEPS + 1), repeat=2):
                more, less = up * _step(one), -down * _step(other)
                gained = EXACT.multiply(one.weight, more) + EXACT.multiply(other.weight, less)
                marks = None if gained else _moved(sheet, {one: more, other: less})
                if marks:
                    yield _say(sheet, marks), _with(sheets, {index: marks})


def _between_sheets(sheets: Sequence[Sheet], kept: Mapping[int, Sheet], rules: Rules) -> Moves:
    """One judge a step up and another a step down in the same criterion."""
    for (first, up), (second, down) in permutations(kept.items(), 2):
        for criterion in rules.panel_criteria(up.panel):
            step = _step(criterion)
            better, worse = _moved(up, {criterion: step}), _moved(down, {criterion: -step})
            if better and worse and up.panel == down.panel:
                words = f"{_say(up, better)}, and {_say(down, worse)}"
                yield words, _with(sheets, {first: better, second: worse})


def _step(criterion: Criterion) -> Decimal:
    return criterion.step or ONE


def _moved(sheet: Sheet, by: Mapping[Criterion, Decimal]) -> dict[Criterion, Decimal] | None:
    """The marks moved so far, or None where one is blank or would leave its scale."""
    moved = {}
    for criterion, change in by.items():
        mark = sheet.marks.get(criterion.key)
        if mark is None:
            return None
        value = EXACT.add(mark, change)
        low, high = criterion.least, criterion.most
        if (low is not None and value < low) or (high is not None and value > high):
            return None
        moved[criterion] = value
    return moved


def _with(
    sheets: Sequence[Sheet], changed: Mapping[int, Mapping[Criterion, Decimal]]
) -> list[Sheet]:
    table = list(sheets)
    for index, marks in changed.items():
        new = {criterion.key: mark for criterion, mark in marks.items()}
        table[index] = replace(table[index], marks={**table[index].marks, **new})
    return table


def _say(sheet: Sheet, marks: Mapping[Criterion, Decimal]) -> str:
    told = [f"{plain(mark)} for {criterion.name}" for criterion, mark in marks.items()]
    return f"{sheet.label} gave {list_words(told)}"
