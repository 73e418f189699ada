"""What would happen, row by row, before anything is written."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from teamops.calc.reading import plain_words
from teamops.calc.words import count_of, list_words, opening
from teamops.judging.imports.asking import Asking, Problem, Question, ask_columns, ask_day_order
from teamops.judging.imports.columns import Columns
from teamops.judging.imports.drafts import Drafts
from teamops.judging.imports.gather import Gather
from teamops.judging.imports.known import Known, Papers, known_of, papers_of
from teamops.judging.imports.lines import Line, lines_of
from teamops.judging.imports.match import CHANGES, NEW, SAME, Happens, happenings, match_sheets
from teamops.teams.models import Team

WRONG, PASSED = "wrong", "passed"
PASSED_WORDS = {
    "blank": "Blank.",
    "heading": "The heading.",
    "sum": "A total or an average.",
    "words": "Words only.",
    "title": "What the rows below are of.",
}


@dataclass(frozen=True, slots=True)
class PlannedRow:
    """
    One row, as in the file (from 1), and what becomes of it, in words.

    `does` is "new", "same", "changes", "wrong" or "passed".
    """

    number: int
    cells: tuple[str, ...]
    does: str
    words: str
    problems: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True)
class Plan:
    """
    What taking a table in would do. `creates` says in sentences what will be made or changed.

    `columns` are as used, with the answers given; `left_out` are the heads of columns that nothing
    is read from.
    """

    rows: tuple[PlannedRow, ...]
    counts: Mapping[str, int]
    questions: tuple[Question, ...]
    creates: tuple[str, ...]
    columns: Columns
    left_out: tuple[str, ...] = ()

    @property
    def is_good(self) -> bool:
        """Whether it can be taken in: no wrong row, no open question, and something to do."""
        asked = any(question.is_open for question in self.questions)
        return not self.counts[WRONG] and not asked and self.does_anything

    @property
    def does_anything(self) -> bool:
        return bool(self.counts[NEW] or self.counts[CHANGES])

    @property
    def problems(self) -> tuple[str, ...]:
        """Every wrong cell as a sentence: “Row 731, Taste: says “abc”, expected a mark …”."""
        return tuple(
            problem_words(row.number, problem, self.columns)
            for row in self.rows
            for problem in row.problems
        )


@dataclass(slots=True)
class Worked:
    """A plan with the drafts it was made from, for who goes on to write them."""

    plan: Plan
    drafts: Drafts
    known: Known
    papers: Papers


def plan(team: Team, cells: Sequence[Sequence[str]], columns: Columns | Mapping[str, Any]) -> Plan:
    """What taking in these rows would do, read this way; eleven queries, nothing is written."""
    return work_out(team, cells, columns).plan


def work_out(
    team: Team, cells: Sequence[Sequence[str]], columns: Columns | Mapping[str, Any]
) -> Worked:
    """The plan, and the drafts behind it."""
    if not isinstance(columns, Columns):
        columns = Columns.of(columns)
    known = known_of(team)
    asking = Asking(columns.answers)
    used = ask_columns(columns, known, asking)
    used = _with_day_order(used, cells, asking)
    criteria = {name for own in known.criteria.values() for name in own}
    lines = lines_of(cells, used, criteria, lambda name: bool(known.named(name)), known.is_category)
    gather = Gather(used, known, asking, _marked(used, lines))
    drafts = gather.read(lines)
    stored = {entry.stored.pk for entry in drafts.entries() if entry.stored}
    papers = papers_of(team, stored)
    for entry in drafts.entries():
        match_sheets(entry, papers)
    happens: dict[int, list[Happens]] = {}
    for one in happenings(drafts, papers, known):
        happens.setdefault(one.row, []).append(one)
    rows = tuple(_row(line, happens.get(line.number, []), asking) for line in lines)
    made = Plan(
        rows=rows,
        counts=dict.fromkeys((NEW, SAME, CHANGES, WRONG, PASSED), 0)
        | Counter(row.does for row in rows),
        questions=tuple(asking.questions.values()),
        creates=_creates(drafts, rows),
        columns=used,
        left_out=used.left_out,
    )
    return Worked(made, drafts, known, papers)


def problem_words(number: int, problem: Problem, columns: Columns) -> str:
    """A wrong cell as a sentence."""
    where = ""
    if 0 <= problem.column < len(columns.columns):
        where = f", {columns.columns[problem.column].name}"
    said = "is empty" if problem.said in ("", "nothing") else f"says “{_short(problem.said)}”"
    return f"Row {number}{where}: {said}, expected {problem.expected}."


def _short(text: str) -> str:
    return text if len(text) <= 40 else f"{text[:39]}…"


def _with_day_order(columns: Columns, cells: Sequence[Sequence[str]], asking: Asking) -> Columns:
    place = columns.where("held_on")
    if place is None:
        return columns
    first = max(columns.heading, default=0)
    days = (row[place].strip() for row in cells[first:] if len(row) > place)
    example = next(filter(None, days), "")
    order = ask_day_order(columns, asking, example)
    return columns if order == columns.day_order else columns.with_order(order)


def _marked(columns: Columns, lines: Sequence[Line]) -> set[str]:
    """The criteria that a table has marks or totals of, by plain name."""
    marked = {one.criterion for one in columns.columns if one.criterion}
    if columns.has("criterion"):
        marked |= {plain_words(line.said["criterion"]) for line in lines
                   if line.kind == "entry" and "criterion" in line.said}  # fmt: skip
    return marked


def _row(line: Line, happens: Sequence[Happens], asking: Asking) -> PlannedRow:
    cells = tuple(line.cells)
    if line.kind != "entry":
        return PlannedRow(line.number, cells, PASSED, PASSED_WORDS[line.kind])
    problems = tuple(asking.problems.get(line.number, ()))
    notes = asking.notes.get(line.number, [])
    if problems:
        words = "; ".join(f"“{_short(one.said)}”: expected {one.expected}" for one in problems)
        return PlannedRow(line.number, cells, WRONG, f"{words}.", problems)
    told = [opening(one.words) for one in happens if one.words and one.does != SAME]
    does = next((d for d in (CHANGES, NEW) if any(one.does == d for one in happens)), SAME)
    if not told:
        told = ["Nothing new."] if notes else ["All of it is here already."]
    sentences = [text if text.endswith(".") else f"{text}." for text in dict.fromkeys(told)]
    return PlannedRow(line.number, cells, does, " ".join([*sentences, *notes]))


def _creates(drafts: Drafts, rows: Sequence[PlannedRow]) -> tuple[str, ...]:
    entries, sheets = list(drafts.entries()), [sheet for _, sheet in drafts.sheets()]
    made = [
        count_of(number, noun)
        for number, noun in (
            (sum(one.stored is None for one in drafts.contests), "contest"),
            (sum(one.stored is None for one in entries), "box"),
            (sum(one.stored is None for one in sheets), "sheet"),
        )
        if number
    ]
    sentences = []
    if made:
        words = list_words([text.replace("boxs", "boxes") for text in made])
        sentences.append(f"{opening(words)} will be made.")
    changes = sum(row.does == CHANGES for row in rows)
    if changes:
        sentences.append(f"{opening(count_of(changes, 'row'))} will change what is stored.")
    same = sum(row.does == SAME for row in rows)
    if same:
        verb = "is" if same == 1 else "are"
        sentences.append(f"{opening(count_of(same, 'row'))} {verb} here already.")
    return tuple(sentences)
