"""What each column says, guessed from its head and its cells; all of it can be put right."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from teamops.calc.reading import plain_words
from teamops.calc.reading.numbers import number_in, out_in
from teamops.judging.imports.columns import GUESS, LIKELY, SURE, Column, Columns
from teamops.judging.imports.days import day_orders
from teamops.judging.imports.fields import (
    AVERAGE,
    BEHIND,
    CODE_OF,
    IN_TOTAL,
    MARK_OF,
    NAME_WORDS,
    OPEN,
    PASSED_WORDS,
    PLACE_WORDS,
    SKIP,
    TEMPERATURES,
    TOTAL_OF,
    TOTAL_WORDS,
    UNIT,
    criterion_of,
    judge_in,
)
from teamops.judging.imports.headings import Cells, find_heading
from teamops.judging.imports.settled import SOME_NAME, SOME_PLACE, SOME_TOTAL, settled
from teamops.judging.imports.values import decimal_of
from teamops.rules.queries import team_rulebooks
from teamops.teams.models import Team

HOT = 95  # no steak is that hot in °C, and hardly one below that in °F
LEAST_ROWS = 3


def criteria_of(team: Team) -> dict[str, str]:
    """The names of all criteria that the team's boxes may be marked on, by plain name."""
    return {
        plain_words(row.name): row.name
        for book in team_rulebooks(team)
        for row in book.criteria.all()
    }


def guess(cells: Cells, team: Team) -> Columns:
    """How to read a table: its heading, what each column says, the order of days, the decimals."""
    names = criteria_of(team)
    heading = find_heading(cells, names)
    body = cells[max(heading.rows) + 1 :] if heading.rows else cells
    below = [[row[index] for row in body if row[index].strip()]
             for index in range(len(heading.parts))]  # fmt: skip
    columns = [
        _column(name, parts, found, names)
        for name, parts, found in zip(heading.names, heading.parts, below, strict=True)
    ]
    columns = _numbered_twins(columns, heading.parts, names)
    columns = settled(columns, below, body, names)
    orders = {"mdy", "dmy"}
    for column, found in zip(columns, below, strict=True):
        if column.code == "held_on":
            orders &= day_orders(found)
    ours = "mdy" if team.units == Team.Units.US else "dmy"
    numbers = [cell for column, found in zip(columns, below, strict=True)
               if column.is_mark or column.is_total or column.code.endswith("total")
               for cell in found[:400]]  # fmt: skip
    return Columns(
        columns=tuple(columns),
        heading=tuple(row + 1 for row in heading.rows),
        day_order=ours if ours in orders or not orders else orders.pop(),
        decimal=decimal_of(numbers),
        doubts=("day_order",) if len(orders) > 1 and _has_numbered_days(columns, below) else (),
    )


def _has_numbered_days(columns: Sequence[Column], below: Sequence[Sequence[str]]) -> bool:
    """Whether there is a day such as 05/03/2026, which may be two days."""
    days = [cell for column, found in zip(columns, below, strict=True)
            if column.code == "held_on" for cell in found]  # fmt: skip
    return any(_either(cell) for cell in days)


def _either(cell: str) -> bool:
    parts = cell.replace("-", "/").replace(".", "/").split("/")
    return len(parts) == 3 and len(parts[0]) < 3 and parts[0] != parts[1]


def _column(
    name: str, parts: Sequence[str], cells: Sequence[str], names: Mapping[str, str]
) -> Column:
    """One column by its head alone, and by its cells where the head leaves it open."""
    if not cells and not parts:
        return Column(name, SKIP, sure=SURE)
    head = " ".join(parts)
    unit = UNIT.search(head)
    bare = plain_words(BEHIND.sub("", UNIT.sub("", head)) or head)
    for words in (plain_words(head), bare):
        code = CODE_OF.get(words, OPEN)
        if code and not (words in names and not _is_words(cells)):
            temperature = code in TEMPERATURES
            return Column(name, code, unit=_unit(unit, cells) if temperature else "", sure=SURE)
    if bare in names and bare not in TOTAL_WORDS:  # “Score” may be a criterion's name too
        return Column(name, f"{MARK_OF}{bare}", sure=SURE)
    for heads, meant in (
        (TOTAL_WORDS, SOME_TOTAL),
        (PLACE_WORDS, SOME_PLACE),
        (NAME_WORDS, SOME_NAME),
        (PASSED_WORDS, SKIP),
    ):
        if bare in heads:
            return Column(name, meant, sure=LIKELY)
    return _by_parts(name, parts, names, cells)


def _by_parts(
    name: str, parts: Sequence[str], names: Mapping[str, str], cells: Sequence[str]
) -> Column:
    """A head that names a judge, a criterion, or both, perhaps over two rows."""
    judge, rests = "", []
    for place, part in enumerate(parts):
        found, rest = judge_in(part)
        if place and not found and part.isdigit() and len(part) < 3:
            found, rest = part, ""
        judge = judge or found
        rests.append(rest)
    rest = plain_words(" ".join(rests))
    if AVERAGE.search(rest):
        return Column(name, SKIP, sure=SURE)
    in_total = IN_TOTAL.search(rest) is not None
    criterion = criterion_of(IN_TOTAL.sub("", rest), names)
    if criterion and in_total and not judge:
        return Column(name, f"{TOTAL_OF}{criterion}", sure=SURE)
    if criterion:
        sure = SURE if criterion == rest else LIKELY
        return Column(name, f"{MARK_OF}{criterion}", judge=judge, sure=sure)
    if judge and (not rest or in_total or rest in TOTAL_WORDS):
        return Column(name, "judge_total", judge=judge, sure=LIKELY)
    # words that nobody scored are left out; numbers must be decided upon
    words = not cells or _is_words(cells)
    return Column(name, SKIP if words else OPEN, judge=judge, sure=GUESS)


def _is_words(cells: Sequence[str]) -> bool:
    numbers = sum(number_in(cell) is not None or bool(out_in(cell)) for cell in cells)
    return numbers < 0.5 * len(cells)


def _unit(said: re.Match[str] | None, cells: Sequence[str]) -> str:
    """The unit of a column of temperatures, by its head, else by how hot they are."""
    if said is not None:
        return said[1].casefold()
    numbers = [value for cell in cells if (value := number_in(UNIT.sub("", cell))) is not None]
    if not numbers:
        return ""
    return "f" if sorted(numbers)[len(numbers) // 2] > HOT else "c"


def _numbered_twins(
    columns: Sequence[Column], parts: Sequence[Sequence[str]], names: Mapping[str, str]
) -> list[Column]:
    """“Taste 1”, “Taste 2” or a second “Taste”: the same criterion from one judge after another."""
    found = list(columns)
    twins: dict[str, list[int]] = {}
    for index, column in enumerate(found):
        head = plain_words(" ".join(parts[index]))
        stem = head.rstrip("0123456789# ")
        criterion = criterion_of(stem, names) if stem != head and head not in names else ""
        if stem != head and stem in TOTAL_WORDS:
            twins.setdefault("", []).append(index)
            continue
        if criterion and column.code in (OPEN, SKIP, f"{MARK_OF}{criterion}") and not column.judge:
            twins.setdefault(criterion, []).append(index)
    for criterion, places in twins.items():
        for place in places if len(places) > 1 else []:
            judge = plain_words(" ".join(parts[place])).rpartition(" ")[2].lstrip("#")
            digits = "".join(letter for letter in judge if letter.isdigit())
            code = f"{MARK_OF}{criterion}" if criterion else "judge_total"
            found[place] = replace(found[place], code=code, judge=digits, sure=LIKELY)
    plain: dict[str, list[int]] = {}
    for index, column in enumerate(found):
        if column.code.startswith(MARK_OF) and not column.judge:
            plain.setdefault(column.code, []).append(index)
    for places in plain.values():
        for number, place in enumerate(places if len(places) > 1 else [], start=1):
            found[place] = replace(found[place], judge=str(number), sure=GUESS)
    return found
