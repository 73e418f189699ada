"""An import as its page shows it: what each column means, what would happen to each row."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from json import dumps

from django.conf import settings
from django.core.cache import cache
from django.utils.safestring import SafeString

from teamops.calc.words import count_of, opening
from teamops.judging.forms.exchange import ANSWER
from teamops.judging.imports import (
    Columns,
    Plan,
    Question,
    field_choices,
    plan,
)
from teamops.judging.imports.fields import OPEN, SKIP, TEMPERATURES
from teamops.judging.views.exchange.markup import STAMPS, cut, options_of, rows_of, select
from teamops.teams.models import ImportBatch, Team

PAGE = 50  # rows
SAMPLES = 3
LONGEST_SAMPLE = 30
AN_HOUR = 3600
COUNTS = (
    ("new", "new"),
    ("changes", "changing what is stored"),
    ("same", "here already"),
    ("passed", "passed over"),
)
SURE = {"sure": ("known", "ok"), "likely": ("likely", ""), "guess": ("a guess", "due")}
UNITS = (("", "the team’s unit"), ("f", "°F"), ("c", "°C"))


@dataclass(frozen=True, slots=True)
class ColumnRow:
    """One column: its select, three samples of what stands in it, and how sure its meaning is."""

    index: int
    heading: str
    samples: tuple[str, ...]
    options: SafeString
    stamp: tuple[str, str]
    units: tuple[tuple[str, str, bool], ...] = ()


@dataclass(frozen=True, slots=True)
class Asked:
    """A question with the name of its field."""

    name: str
    label: str
    options: tuple[tuple[str, str], ...]
    chosen: str
    is_open: bool


@dataclass(frozen=True, slots=True)
class LookPage:
    """All that the page of an import says; `rows` are those of one page, ready to print."""

    columns: tuple[ColumnRow, ...]
    layout: str
    heading: str
    day_orders: tuple[tuple[str, str, bool], ...]
    decimals: tuple[tuple[str, str, bool], ...]
    questions: tuple[Asked, ...]
    counts: tuple[tuple[str, str], ...]
    creates: tuple[str, ...]
    notes: tuple[str, ...]
    wrong: int
    why_not: str
    heads: tuple[str, ...]
    rows: SafeString
    page: int
    pages: int
    only: str
    shown: str

    @property
    def query(self) -> str:
        """What of the address keeps this page of rows."""
        return f"?page={self.page}" + ("&only=problems" if self.only else "")

    @property
    def is_good(self) -> bool:
        return not self.why_not

    @property
    def before(self) -> int:
        return self.page - 1

    @property
    def after(self) -> int:
        return self.page + 1


def plan_of(team: Team, batch: ImportBatch) -> Plan:
    """
    What taking the batch in would do; kept for paging through it.

    It is kept under the team's stamp and what the columns mean, so anything new draws it anew.
    """
    if not settings.KEEPS_PAGES:
        return plan(team, batch.cells, batch.columns)
    said = sha256(dumps([batch.columns, batch.cells], sort_keys=True).encode()).hexdigest()
    name, stamp = f"import-{batch.pk}", f"{team.stamp}{said}"
    kept: tuple[str, Plan] | None = cache.get(name)
    if kept is not None and kept[0] == stamp:
        return kept[1]
    made = plan(team, batch.cells, batch.columns)
    cache.set(name, (stamp, made), AN_HOUR)
    return made


def look_page(
    batch: ImportBatch,
    columns: Columns,
    made: Plan,
    criteria: Mapping[str, str],
    *,
    page: int = 1,
    only: str = "",
) -> LookPage:
    """The page of an import from its plan; `only` “problems” shows the wrong rows alone."""
    rows = [row for row in made.rows if row.does == "wrong"] if only else list(made.rows)
    pages = max(1, -(-len(rows) // PAGE))
    page = min(max(1, page), pages)
    questions = tuple(_asked(one) for one in made.questions if _is_asked(one))
    heads = tuple(column.name or f"column {n}" for n, column in enumerate(columns.columns, start=1))
    shown = rows[(page - 1) * PAGE : page * PAGE]
    return LookPage(
        columns=_columns(batch.cells, columns, criteria),
        layout=columns.layout_words,
        heading=str(max(columns.heading, default="")),
        day_orders=_day_orders(columns),
        decimals=tuple(
            (value, label, value == columns.decimal)
            for value, label in ((".", "a point: 8.5"), (",", "a comma: 8,5"))
        ),
        questions=questions,
        counts=_counts(made),
        creates=made.creates,
        notes=_notes(made),
        wrong=made.counts["wrong"],
        why_not=_why_not(made, questions, columns),
        heads=heads,
        rows=rows_of(shown, made.columns),
        page=page,
        pages=pages,
        only="problems" if only else "",
        shown=f"rows {(page - 1) * PAGE + 1} to {(page - 1) * PAGE + len(shown)} of {len(rows)}",
    )


def _is_asked(question: Question) -> bool:
    """Whether it is asked among the questions: columns and days are chosen where they stand."""
    return not question.key.startswith("column:") and question.key != "day_order"


def _asked(one: Question) -> Asked:
    return Asked(f"{ANSWER}{one.key}", one.label, one.options, one.chosen, one.is_open)


def _columns(
    cells: Sequence[Sequence[str]], columns: Columns, criteria: Mapping[str, str]
) -> tuple[ColumnRow, ...]:
    options = options_of(field_choices(criteria))
    body = cells[max(columns.heading, default=0) :]
    found = []
    for index, column in enumerate(columns.columns):
        units: tuple[tuple[str, str, bool], ...] = ()
        if column.code in TEMPERATURES:
            units = tuple((value, label, value == column.unit) for value, label in UNITS)
        open_ = ("choose", "hot") if column.code == OPEN else None
        left = ("left out", "") if column.code == SKIP else None
        stamp = open_ or left or SURE.get(column.sure, ("", ""))
        found.append(
            ColumnRow(
                index=index,
                heading=column.name or f"column {index + 1}",
                samples=_samples(body, index),
                options=select(options, column.code),
                stamp=stamp,
                units=units,
            )
        )
    return tuple(found)


def _samples(body: Sequence[Sequence[str]], index: int) -> tuple[str, ...]:
    found: list[str] = []
    for row in body:
        cell = " ".join(row[index].split()) if index < len(row) else ""
        if cell and cell not in found:
            found.append(cell)
            if len(found) == SAMPLES:
                break
    return tuple(cut(cell, LONGEST_SAMPLE) for cell in found)


def _day_orders(columns: Columns) -> tuple[tuple[str, str, bool], ...]:
    """How days are written, where there are any."""
    if not columns.has("held_on"):
        return ()
    words = (
        ("mdy", "month, day, year: 5/31/2026"),
        ("dmy", "day, month, year: 31/5/2026"),
        ("ymd", "year, month, day: 2026-05-31"),
    )
    return tuple((value, label, value == columns.day_order) for value, label in words)


def _counts(made: Plan) -> tuple[tuple[str, str], ...]:
    """How many rows come to what, in words, with the look of their stamp."""
    wrong = made.counts["wrong"]
    found = [(f"{wrong} need{'s' if wrong == 1 else ''} a look", "hot")] if wrong else []
    for key, words in COUNTS:
        if made.counts[key]:
            found.append((f"{made.counts[key]:,} {words}", STAMPS[key][1]))
    return tuple(found)


def _notes(made: Plan) -> tuple[str, ...]:
    if not made.left_out:
        return ()
    return (f"Nothing is read from: {', '.join(made.left_out)}.",)


def _why_not(made: Plan, questions: Sequence[Asked], columns: Columns) -> str:
    """Why it cannot be taken in yet, in one sentence; nothing if it can."""
    wrong, not_said = made.counts["wrong"], sum(one.is_open for one in questions)
    undecided = [column.name for column in columns.columns if column.code == OPEN]
    if undecided:
        return f"Say what the column “{undecided[0]}” means, or leave it out."
    if not_said:
        wait = "waits" if not_said == 1 else "wait"
        return f"{opening(count_of(not_said, 'question'))} {wait} for an answer."
    if wrong:
        return (
            f"{opening(count_of(wrong, 'row'))} cannot be read: it is taken in whole or not at all."
        )
    if not made.does_anything:
        return "All of it is here already: there is nothing to take in."
    return ""
