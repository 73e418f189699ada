"""What is odd about a mark or a sheet, said in plain words; nothing here refuses anything."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from teamops.calc.scoring.records import Flag, FlagKind, Sheet
from teamops.calc.scoring.rules import EXACT, Criterion
from teamops.calc.scoring.words import step_words
from teamops.calc.words import brief, opening, plain


def flag_mark(
    criterion: Criterion, mark: Decimal | None, penalty_mark: Decimal | None = None
) -> Flag | None:
    """What is odd about one mark, or None.

    A penalty mark outside the scale is allowed and only pointed out. Steps count from the least
    mark of the scale, or from 0 where it has none.
    """
    name = criterion.name
    if mark is None:
        return Flag(FlagKind.BLANK, f"{name} is blank.", None, criterion.key)
    low, high, step = criterion.least, criterion.most, criterion.step
    below, above = low is not None and mark < low, high is not None and mark > high
    if below or above:
        if mark == penalty_mark:
            words = f"{name} has the penalty mark, {plain(mark)}."
            return Flag(FlagKind.PENALTY, words, None, criterion.key)
        words = f"{name} {plain(mark)} is off the scale, which {_scale(criterion)}."
        return Flag(FlagKind.OFF_SCALE, words, None, criterion.key)
    if step is not None and EXACT.remainder(mark - (low or Decimal(0)), step) != 0:
        words = f"{name} {plain(mark)} is between the steps: this book has {step_words(step)}."
        return Flag(FlagKind.BETWEEN_STEPS, words, None, criterion.key)
    return None


def flag_sheet(
    index: int, sheet: Sheet, criteria: Sequence[Criterion], penalty_mark: Decimal | None
) -> Iterator[Flag]:
    """What is odd about one sheet's cells; a sheet with no mark at all is left to its table."""
    known = {criterion.key for criterion in criteria}
    who = opening(sheet.label)
    for key, mark in sheet.marks.items():
        if key not in known and mark is not None:
            words = f"{who} has a mark for {key}, which is not on this sheet; it does not count."
            yield Flag(FlagKind.UNKNOWN_CRITERION, words, index, key)
    if all(sheet.marks.get(key) is None for key in known):
        return
    for criterion in criteria:
        flag = flag_mark(criterion, sheet.marks.get(criterion.key), penalty_mark)
        if flag is None:
            continue
        words = f"{who}: {flag.words}"
        if flag.kind is FlagKind.BLANK:
            counts = "counts what it has" if sheet.given_total is None else "counts as printed"
            words = f"{who} left {criterion.name.lower()} blank; the sheet {counts}."
        yield Flag(flag.kind, words, index, criterion.key)


def flag_given_total(index: int, sheet: Sheet, added_up: Decimal) -> Flag:
    """That the paper's total for a full sheet is another than its marks add up to."""
    printed = (
        f", the paper says {brief(sheet.given_total)}" if sheet.given_total is not None else ""
    )
    words = (
        f"{opening(sheet.label)}'s marks add up to {brief(added_up)}{printed}; the marks are used."
    )
    return Flag(FlagKind.TOTAL_DIFFERS, words, index)


def _scale(criterion: Criterion) -> str:
    low, high = criterion.least, criterion.most
    if low is None:
        return f"ends at {plain(high)}" if high is not None else "has no ends"
    return (
        f"goes from {plain(low)} to {plain(high)}"
        if high is not None
        else (f"starts at {plain(low)}")
    )
