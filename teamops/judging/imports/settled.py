"""What a column says where that depends on the other columns."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from teamops.calc.reading import plain_words
from teamops.calc.reading.numbers import number_in
from teamops.calc.reading.vocabulary import is_sum
from teamops.judging.imports.columns import GUESS, LIKELY, SURE, Column
from teamops.judging.imports.fields import MARK_OF, ONCE, SKIP
from teamops.judging.imports.headings import Cells
from teamops.judging.imports.values import STATES, is_place

SOME_TOTAL, SOME_PLACE, SOME_NAME = "?total", "?place", "?name"  # settled by what else is there


def settled(
    columns: Sequence[Column],
    below: Sequence[Sequence[str]],
    body: Cells,
    names: Mapping[str, str],
) -> list[Column]:
    """What depends on the other columns, and each thing said once."""
    found = list(columns)
    has = {column.code for column in found}
    for index, column in enumerate(found):
        cells = below[index]
        if column.code == SOME_PLACE:
            placed = sum(map(is_place, cells))
            code = "placing" if cells and placed >= 0.6 * len(cells) else "place"
            found[index] = replace(column, code=code, sure=LIKELY)
        elif column.code == SOME_NAME:
            code = "cook" if "contest" in has else "contest"
            found[index] = replace(column, code=code, sure=GUESS)
        elif column.code == "state" and not all(plain_words(cell) in STATES for cell in cells):
            found[index] = replace(column, code=SKIP, sure=GUESS)  # of a country, perhaps
        elif column.code == "rulebook" and "rulebook" in has and not cells:
            found[index] = replace(column, code=SKIP, sure=GUESS)
    found = _long_or_wide(found, below)
    found = _totals(found, body, names)
    return _once(found)


def _long_or_wide(columns: list[Column], below: Sequence[Sequence[str]]) -> list[Column]:
    """A criterion in each row: what the numbers beside it are."""
    if not any(column.code == "criterion" for column in columns):
        return [
            replace(column, code=SOME_TOTAL if column.code == "mark" else column.code)
            for column in columns
        ]
    across = any(column.code == "judge_total" and column.judge for column in columns)
    found = []
    for column in columns:
        if across and column.code == "judge_total" and column.judge:
            column = replace(column, code="mark", sure=SURE)
        elif across and column.code == SOME_TOTAL:
            column = replace(column, code="criterion_total", sure=LIKELY)
        found.append(column)
    if any(column.is_mark for column in found):
        return found
    for index, column in enumerate(found):
        if column.code == SOME_TOTAL:
            seated = any(one.code == "seat" for one in found)
            code = "mark" if seated else "criterion_total"
            found[index] = replace(column, code=code, sure=LIKELY if seated else GUESS)
            break
    return found


def _totals(columns: list[Column], body: Cells, names: Mapping[str, str]) -> list[Column]:
    """Whose total a plain “Total” is: the judge's on a sheet, the posted one on a result."""
    found = list(columns)
    wide = any(one.code.startswith(MARK_OF) and not one.judge for one in found)
    seated = any(one.code == "seat" for one in found)
    taken = {one.code for one in found}
    for index, column in enumerate(found):
        if column.code != SOME_TOTAL:
            continue
        code, sure = "posted_total", LIKELY
        if wide:
            code = "judge_total" if _adds_up(found, index, body) or seated else "posted_total"
        elif seated and not any(one.is_mark for one in found):
            only = plain_words(column.name)  # one number from each judge, as some books have it
            code = f"{MARK_OF}{only}" if only in names else "judge_total"
        elif any(one.code == "criterion" for one in found):
            code = "judge_total" if seated else "posted_total"
        if code in taken:
            code, sure = SKIP, GUESS
        taken.add(code)
        found[index] = replace(column, code=code, sure=sure)
    return found


def _adds_up(columns: Sequence[Column], total: int, body: Cells) -> bool:
    """Whether a column is the sum of the marks in its row, in most rows."""
    marks = [i for i, one in enumerate(columns) if one.code.startswith(MARK_OF)]
    right = rows = 0
    for row in body[:200]:
        whole = number_in(row[total])
        parts = [number_in(row[index]) for index in marks]
        if whole is not None and any(part is not None for part in parts) and not _is_sum(row):
            rows += 1
            right += whole == sum((part for part in parts if part is not None), Decimal(0))
    return rows > 0 and right >= 0.6 * rows


def _is_sum(row: Sequence[str]) -> bool:
    return any(is_sum(cell) for cell in row)


def _once(columns: list[Column]) -> list[Column]:
    """What only one column can say is said by the first that was sure of it."""
    found = list(columns)
    for code in {one.code for one in found} & ONCE:
        same = [index for index, one in enumerate(found) if one.code == code]
        best = next((i for i in same if found[i].sure == SURE), same[0])
        for index in same:
            if index != best:
                found[index] = replace(found[index], code=SKIP, sure=GUESS)
    return found
