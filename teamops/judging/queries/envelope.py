"""One entry's envelope: every judge's sheet, what it adds up to, and what is odd about it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from uuid import UUID

from django.db.models import Prefetch, prefetch_related_objects

from teamops.calc.scoring import SheetResult, flag_mark
from teamops.calc.words import brief
from teamops.contests.models import Entry
from teamops.judging.given import GivenTotals, account
from teamops.judging.models import Mark, Result, ScoreSheet
from teamops.judging.paper import PaperMark, said_words
from teamops.judging.queries.explain import Step, explain, explain_given
from teamops.judging.reckon import Reckoning, posted_words, reckon, seats_twice
from teamops.judging.settling import Settled, settle
from teamops.judging.worked import given_totals, has_marks
from teamops.rules.models import Criterion


@dataclass(frozen=True, slots=True)
class MarkCell:
    """
    One mark on the grid; `points` is None for a blank, `odd` says in words what is odd.

    `said` is what the paper says where it is no plain number.
    """

    criterion: Criterion
    points: Decimal | None
    odd: str = ""
    said: str = ""


@dataclass(frozen=True, slots=True)
class SheetLine:
    """One judge's sheet; `total` is weighted, `why_not` says why it does not count, if so."""

    sheet: ScoreSheet
    label: str
    panel: str
    cells: tuple[MarkCell, ...]
    total: Decimal | None
    counts: bool
    why_not: str
    says: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Envelope:
    """
    An entry's papers as typed, and what they come to right now.

    `says` is about the whole table; what is odd about one sheet is said there. `posted_words` sets
    the organiser's total beside ours. `total` is what is left after `docked`; `steps` say how it
    came about, `rounds` what each round came to where there were several. `given` is what was given
    for each criterion, by its id, where no marks are known.
    """

    entry: Entry
    result: Result | None
    criteria: tuple[Criterion, ...]
    sheets: tuple[SheetLine, ...]
    total: Decimal | None
    most: Decimal | None
    why_no_total: str
    says: tuple[str, ...]
    posted_words: str
    docked: Decimal = Decimal(0)
    steps: tuple[Step, ...] = ()
    rounds: tuple[str, ...] = ()
    given: Mapping[int, Decimal | None] = field(default_factory=dict)

    @property
    def panels(self) -> tuple[str, ...]:
        """The rulebook's panels in print order; one named "" where it has just one."""
        return tuple(dict.fromkeys(criterion.panel for criterion in self.criteria)) or ("",)

    @property
    def agrees(self) -> bool:
        """Whether nothing is known to be wrong with the posted total."""
        return not self.posted_words.startswith("Our sum")

    @property
    def not_counting(self) -> tuple[str, ...]:
        """The sheets that do not count, and why."""
        return tuple(
            f"{line.label[:1].upper()}{line.label[1:]}: {line.why_not}"
            for line in self.sheets
            if line.why_not and line.total is not None
        )


def envelope(entry: Entry) -> Envelope:
    """
    The entry's papers and what they come to, however many judges in four queries.

    One more where no mark is known: only then the organiser's totals by criterion count.
    """
    # the models' own orders go up through their parents, which cost more to join than to read;
    # marks are looked up by criterion
    criteria = Criterion.objects.order_by("order", "pk")
    prefetch_related_objects([entry.rulebook], Prefetch("criteria", criteria))
    marks = Prefetch("marks", Mark.objects.order_by("pk"))
    sheets = list(entry.sheets.order_by("position", "pk").prefetch_related(marks))
    _name_marks(sheets, entry.rulebook.criteria.all())
    result = Result.objects.filter(entry=entry).select_related("changed_by").first()
    papers = [(sheet, list(sheet.marks.all())) for sheet in sheets]
    reckoning = reckon(entry.rulebook, papers)
    given = {} if has_marks(papers) else given_totals(entry)
    counted = account(entry, given) if given else None
    total = reckoning.total
    added_up = counted.total if counted else total.total if total else None
    settled = settle(entry, added_up)
    most = counted.most if counted else total.most if total else None
    return Envelope(
        entry=entry,
        result=result,
        criteria=reckoning.criteria,
        sheets=_lines(sheets, reckoning),
        total=settled.total,
        most=most,
        why_no_total=_why_no_total(reckoning, settled),
        says=tuple(_table_says(entry, sheets, reckoning, settled, counted)),
        posted_words=posted_words(settled.total, entry.official_total),
        docked=settled.docked,
        steps=(
            explain_given(counted, reckoning.criteria, settled)
            if counted
            else explain(reckoning, settled)
        ),
        rounds=_rounds(reckoning),
        given=given,
    )


def _why_no_total(reckoning: Reckoning, settled: Settled) -> str:
    if settled.why_no_total or reckoning.total is None:
        return settled.why_no_total or "The rulebook has no criteria."
    return reckoning.total.why_no_total


def _rounds(reckoning: Reckoning) -> tuple[str, ...]:
    """What each round came to, where there were several."""
    if len(reckoning.rounds) < 2:
        return ()
    words = []
    for one in reckoning.rounds:
        total = "no total" if one.result.total is None else brief(one.result.total)
        most = "" if one.result.most is None else f" of {brief(one.result.most)}"
        words.append(f"{one.label}: {total}{most}{', which decides' if one.decides else ''}")
    return tuple(words)


def _name_marks(sheets: Sequence[ScoreSheet], criteria: Iterable[Criterion]) -> None:
    """Give the marks the criteria that are loaded already."""
    known = {criterion.pk: criterion for criterion in criteria}
    for mark in (mark for sheet in sheets for mark in sheet.marks.all()):
        if mark.criterion_id in known:
            mark.criterion = known[mark.criterion_id]


def _table_says(
    entry: Entry,
    sheets: Sequence[ScoreSheet],
    reckoning: Reckoning,
    settled: Settled,
    counted: GivenTotals | None,
) -> list[str]:
    says = seats_twice(sheets)
    if settled.words and (sheets or counted):
        says.append(settled.words)
    says += counted.says if counted else ()
    if entry.placing and entry.field_size and entry.placing > entry.field_size:
        says.append(f"Placing {entry.placing} does not fit into a field of {entry.field_size}.")
    if sheets:
        says += [odd.words for odd in reckoning.odd if odd.sheet is None]
    return says


def last_saves(entry: Entry, most: int = 30) -> list[UUID]:
    """The pages that saved this entry's table lately, last first; one query."""
    past = Result.history.filter(entry_id=entry.pk, saved_op__isnull=False)
    past = past.order_by("-history_date", "-history_id").values_list("saved_op", flat=True)
    return list(dict.fromkeys(past[:most]))


def _lines(sheets: Sequence[ScoreSheet], reckoning: Reckoning) -> tuple[SheetLine, ...]:
    results: Sequence[SheetResult | None]
    results = reckoning.total.sheets if reckoning.total else [None] * len(sheets)
    lines = []
    panels = [criterion.panel for criterion in reckoning.criteria]
    for index, sheet in enumerate(sheets):
        result = results[index]
        # a panel that the rulebook does not have: the sheet is shown with its first
        panel = sheet.panel if sheet.panel in panels else next(iter(panels), "")
        lines.append(
            SheetLine(
                sheet=sheet,
                label=reckoning.labels[index],
                panel=panel,
                cells=_cells(sheet, panel, reckoning),
                total=result.total if result else sheet.given_total,
                counts=result.counts if result else False,
                why_not=result.why_not if result else "",
                says=tuple(odd.words for odd in reckoning.odd if odd.sheet == index),
            )
        )
    return tuple(lines)


def _cells(sheet: ScoreSheet, panel: str, reckoning: Reckoning) -> tuple[MarkCell, ...]:
    rules = reckoning.rules
    marks = {mark.criterion_id: mark for mark in sheet.marks.all()}
    typed = any(mark.points is not None for mark in marks.values())
    cells = []
    for row, one in zip(reckoning.criteria, rules.criteria if rules else (), strict=True):
        if row.panel != panel:
            continue
        mark = marks.get(row.pk)
        value, said = (mark.points, mark.said) if mark else (None, "")
        flag = flag_mark(one, value, rules.penalty_mark if rules else None) if typed else None
        words = said_words(row.name, PaperMark(value, said)) if said else flag and flag.words
        cells.append(MarkCell(row, value, words or "", said))
    return tuple(cells)
