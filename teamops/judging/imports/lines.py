"""Rows sorted out: which say something, which repeat the heading, which only sum up."""

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from teamops.calc.reading import plain_words
from teamops.calc.reading.numbers import number_in
from teamops.calc.reading.vocabulary import PAGE, is_sum
from teamops.judging.imports.columns import Columns
from teamops.judging.imports.fields import BOX, CONTEST, OPEN, SHEET, SKIP
from teamops.judging.imports.headings import is_known
from teamops.judging.imports.sections import Sections, Title

CARRIED_ON = (*CONTEST, *BOX, *SHEET[:3], "criterion")  # a merged cell says it for the rows below
NAMING = frozenset({*CONTEST, *BOX, *SHEET, "criterion"})
SUM_ENDS = ("total", "totals", "average", "avg")
SUM_WORDS = ("summe", "gesamt", "durchschnitt", "mittel", "contest total", "team total",
             "table total", "box total", "entry total", "overall total", "subtotal")  # fmt: skip


@dataclass(slots=True)
class Line:
    """
    One row: its number (from 1), what it is, and its cells by what their columns say.

    `kind` is "entry", or "heading", "blank", "sum", "words" or "title", which are passed over.
    `said` has the cells that say something, with what a merged cell above says; `own` are the
    codes that the row itself says.
    """

    number: int
    cells: Sequence[str]
    kind: str = "entry"
    said: dict[str, str] = field(default_factory=dict)
    own: frozenset[str] = frozenset()
    marks: list[tuple[int, str]] = field(default_factory=list)  # column and what stands there
    totals: list[tuple[int, str]] = field(default_factory=list)  # for criteria
    judges: list[tuple[int, str]] = field(default_factory=list)  # totals of judges side by side


def lines_of(
    cells: Sequence[Sequence[str]],
    columns: Columns,
    criteria: Collection[str],
    is_contest: Callable[[str], bool] = lambda name: False,
    is_category: Callable[[str], bool] = lambda name: False,
) -> list[Line]:
    """
    Every row, sorted out. `criteria` are plain names of what is marked.

    Where no column names the contest, titles above the rows may: `is_contest` and
    `is_category` know the names.
    """
    sections = (
        None if columns.has("contest") else Sections(columns.day_order, is_contest, is_category)
    )
    lines: list[Line] = []
    heads = [_plain(cells[row - 1]) for row in columns.heading if row <= len(cells)]
    carried: dict[str, str] = {}
    block: list[Line] = []
    for number, row in enumerate(cells, start=1):
        line = _line(number, row, columns)
        line.kind = _kind(line, columns, heads, criteria)
        if line.kind == "words" and sections is not None and sections.hear(row):
            line.kind, carried = "title", {}
        if line.kind == "entry" and sections is not None:
            _under(line, sections.of())
        if line.kind == "entry":
            carried = _carry(line, carried)
            if _sums_up(line, block):
                line.kind = "sum"
            else:
                if _starts_block(line):
                    block = []
                block.append(line)
        if line.kind == "sum":
            block = []
        lines.append(line)
    return lines


def _under(line: Line, title: Title) -> None:
    """A row under a title that names its contest, its day or its category."""
    if title.name:
        line.said.setdefault("contest", title.name)
    if title.day:
        line.said.setdefault("held_on", title.day)
    if title.category:
        line.said.setdefault("category", title.category)


def _plain(row: Sequence[str]) -> list[str]:
    return [plain_words(cell) for cell in row]


def _line(number: int, row: Sequence[str], columns: Columns) -> Line:
    line = Line(number, row)
    for index, column in enumerate(columns.columns[: len(row)]):
        cell = " ".join(row[index].split())
        if column.is_mark:
            line.marks.append((index, cell))
        elif not cell or column.code in (SKIP, OPEN):
            continue
        elif column.is_total:
            line.totals.append((index, cell))
        elif column.code == "judge_total" and column.judge:
            line.judges.append((index, cell))
        else:
            line.said[column.code] = cell
    line.own = frozenset(line.said)
    return line


def _kind(
    line: Line, columns: Columns, heads: Sequence[Sequence[str]], criteria: Collection[str]
) -> str:
    if line.number in columns.heading:
        return "heading"
    row = [cell for cell in line.cells if cell.strip()]
    if not row:
        return "blank"
    plain = _plain(line.cells)
    for head in heads:
        same = sum(bool(a) and a == b for a, b in zip(head, plain, strict=False))
        if same >= 2 and same >= 0.6 * len(row):
            return "heading"
    if columns.heading and line.number < columns.heading[0]:
        return "words"
    if any(PAGE.fullmatch(cell.strip()) for cell in row):
        return "words"
    if _names_a_sum(line, columns):
        return "sum"
    told = [cell for _, cell in line.marks if cell] or line.totals or line.judges
    numbers = any(number_in(cell) is not None for cell in row)
    if not numbers and len(row) > 1 and all(is_known(cell, criteria) for cell in row):
        return "heading"
    if not told and len(row) == 1 and len(columns.columns) > 2:
        return "words"
    return "entry"


def _names_a_sum(line: Line, columns: Columns) -> bool:
    """Whether a cell that says whose row it is says “Total” or “Average” instead."""
    for index, cell in enumerate(line.cells[: len(columns.columns)]):
        code = columns.columns[index].code
        if code == "cook" or (index > 2 and code not in NAMING):  # a cook may be called Max
            continue
        words = plain_words(cell)
        if not words or words == "entries":
            continue
        if is_sum(words) or words in SUM_WORDS:
            return True
        if words.rpartition(" ")[2] in SUM_ENDS and len(words.split()) < 8:
            return True
    return False


def _carry(line: Line, carried: dict[str, str]) -> dict[str, str]:
    """Let merged cells say it for the rows below, within one contest and one box."""
    same = {code: carried.get(code) == line.said[code] for code in line.own if code in carried}
    if "contest" in line.own and not same.get("contest", False):
        carried = {}
    elif "held_on" in line.own and "contest" not in line.own and not same.get("held_on", True):
        carried = {k: v for k, v in carried.items() if k == "contest"}
    elif any(code in line.own and not same.get(code, False) for code in BOX):
        carried = {k: v for k, v in carried.items() if k in CONTEST or k == "rulebook"
                   or (k == "category" and "category" not in line.own)}  # fmt: skip
    for code in CARRIED_ON:
        if code not in line.said and code in carried:
            line.said[code] = carried[code]
    return {code: line.said[code] for code in CARRIED_ON if code in line.said}


def _starts_block(line: Line) -> bool:
    return bool(line.own & {*CONTEST, *BOX})


def _sums_up(line: Line, block: Sequence[Line]) -> bool:
    """Whether a row without a name is the sum or the average of the rows of marks above it."""
    if len(block) < 2 or line.own & {*CONTEST, *BOX, *SHEET, "criterion"}:
        return False
    sums = means = finer = 0
    cells = [(index, cell) for index, cell in line.marks if cell]
    for index, cell in cells:
        value = number_in(cell)
        texts = [text for one in block for place, text in one.marks if place == index]
        numbers = [found for text in texts if (found := number_in(text)) is not None]
        if value is None or len(numbers) < 2:
            return False
        whole = sum(numbers, Decimal(0))
        sums += value == whole
        means += abs(value - whole / len(numbers)) <= Decimal("0.05")
        finer += _places(value) > max(map(_places, numbers))
    if sums and sums == len(cells):
        return len(cells) > 1 or len(block) > 2
    # marks may well be near the average of others: only what no judge would write is one
    unseated = all("seat" in one.own for one in block)
    return bool(means) and means == len(cells) and (unseated or finer > 0)


def _places(value: Decimal) -> int:
    exponent = value.normalize().as_tuple().exponent
    return -exponent if isinstance(exponent, int) and exponent < 0 else 0
