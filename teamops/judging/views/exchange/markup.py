"""
The rows of an import and the choices for its columns, as markup.

Written here and not as templates: a page has fifty rows of up to 200 cells, and a choice of some
forty meanings for each column. Every word that was brought in goes through `escape`.
"""

from collections.abc import Sequence

from django.utils.html import escape
from django.utils.safestring import SafeString

from teamops.judging.imports import Columns, PlannedRow, Problem, label_of, problem_words

LONGEST = 60  # characters of a cell that are shown
STAMPS = {
    "new": ("new", "ok"),
    "same": ("here already", ""),
    "changes": ("changes", "due"),
    "wrong": ("needs a look", "hot"),
    "passed": ("passed over", ""),
}
LOOKS = {"passed": ' class="out"'}
OPTION = '<option value="{}">{}</option>'
GROUP = '<optgroup label="{}">{}</optgroup>'
ROW = (
    '<tr{look}><td class="num">{number}</td><td class="becomes"><b class="stamp {stamp}">{word}</b>'
    "{words}</td>{cells}</tr>\n"
)
CELL = '<td dir="auto"{}>{}</td>'
BAD = ' class="bad"'
ODD = '<span class="odd-line">{}</span>'
MEND = (
    '<label class="mend">{words}<input id="{name}" name="{name}" value="{value}" dir="auto"'
    ' autocomplete="off"></label>'
)
QUIET = ' <span class="small muted">{}</span>'
MOST_MENDED = 200  # cells of a page that can be put right in place: a form has its limit

Choices = Sequence[tuple[str, Sequence[tuple[str, str]]]]


def cut(text: str, longest: int) -> str:
    return text if len(text) <= longest else f"{text[: longest - 1]}…"


def options_of(choices: Choices) -> str:
    """The options of every column’s select, none of them selected yet."""
    groups = []
    for group, own in choices:
        inside = "".join(OPTION.format(escape(code), escape(label)) for code, label in own)
        groups.append(GROUP.format(escape(group), inside) if group else inside)
    return "".join(groups)


def select(options: str, code: str) -> SafeString:
    """The options with one selected; a meaning that is not among them any more stands on top."""
    value = f'value="{escape(code)}"'
    if value not in options:
        options = OPTION.format(escape(code), escape(label_of(code))) + options
    return SafeString(options.replace(value, f"{value} selected", 1))


def rows_of(rows: Sequence[PlannedRow], columns: Columns) -> SafeString:
    """A row’s number, what becomes of it and why, its cells; a wrong one can be mended there."""
    wrong = sum(len(row.problems) for row in rows)
    return SafeString("".join(_row(row, columns, mend=wrong <= MOST_MENDED) for row in rows))


def _row(row: PlannedRow, columns: Columns, *, mend: bool) -> str:
    word, stamp = STAMPS[row.does]
    wrong = {problem.column for problem in row.problems}
    words = "".join(_problem(row, problem, columns, mend=mend) for problem in row.problems)
    if row.words and not words:
        words = QUIET.format(escape(row.words))
    cells = "".join(
        CELL.format(BAD if place in wrong else "", escape(cut(cell, LONGEST)))
        for place, cell in enumerate(row.cells)
    )
    return ROW.format(
        look=LOOKS.get(row.does, ""),
        number=row.number,
        stamp=stamp,
        word=word,
        words=words,
        cells=cells,
    )


def _problem(row: PlannedRow, problem: Problem, columns: Columns, *, mend: bool) -> str:
    """What is wrong in a cell, over a field to put it right in, named by its row and column."""
    words = ODD.format(escape(problem_words(row.number, problem, columns)))
    if not mend or not 0 <= problem.column < len(row.cells):
        return words
    name, value = f"cell-{row.number}-{problem.column}", escape(row.cells[problem.column])
    return MEND.format(words=words, name=name, value=value)
