"""One entry's envelope: every judge's sheet, what it adds up to, and what is odd about it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from uuid import UUID

from django.db.models import Prefetch, prefetch_related_objects

from teamops.calc.scoring import Flag, SheetResult, flag_mark
from teamops.contests.models import Entry
from teamops.judging.models import Mark, Result, ScoreSheet
from teamops.judging.reckon import Reckoning, posted_words, reckon, seats_twice
from teamops.rules.models import Criterion


@dataclass(frozen=True, slots=True)
class MarkCell:
    """One mark on the grid; `points` is None for a blank, `odd` says in words what is odd."""

    criterion: Criterion
    points: Decimal | None
    odd: str = ""


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
    the organiser's total beside ours.
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
    """The entry's papers and what they come to; four queries, however many judges."""
    # the models' own orders go up through their parents, which cost more to join than to read;
    # marks are looked up by criterion
    criteria = Criterion.objects.order_by("order", "pk")
    prefetch_related_objects([entry.rulebook], Prefetch("criteria", criteria))
    marks = Prefetch("marks", Mark.objects.order_by("pk"))
    sheets = list(entry.sheets.order_by("position", "pk").prefetch_related(marks))
    _name_marks(sheets, entry.rulebook.criteria.all())
    result = Result.objects.filter(entry=entry).select_related("changed_by").first()
    reckoning = reckon(entry.rulebook, [(sheet, list(sheet.marks.all())) for sheet in sheets])
    total = reckoning.total
    flags = total.flags if total else ()
    return Envelope(
        entry=entry,
        result=result,
        criteria=reckoning.criteria,
        sheets=_lines(sheets, reckoning, flags),
        total=total.total if total else None,
        most=total.most if total else None,
        why_no_total=total.why_no_total if total else "The rulebook has no criteria.",
        says=(*_table_says(entry, sheets), *(flag.words for flag in flags if flag.sheet is None)),
        posted_words=posted_words(total.total if total else None, entry.official_total),
    )


def _name_marks(sheets: Sequence[ScoreSheet], criteria: Iterable[Criterion]) -> None:
    """Give the marks the criteria that are loaded already."""
    known = {criterion.pk: criterion for criterion in criteria}
    for mark in (mark for sheet in sheets for mark in sheet.marks.all()):
        if mark.criterion_id in known:
            mark.criterion = known[mark.criterion_id]


def _table_says(entry: Entry, sheets: Sequence[ScoreSheet]) -> list[str]:
    says = seats_twice(sheets)
    if entry.placing and entry.field_size and entry.placing > entry.field_size:
        says.append(f"Placing {entry.placing} does not fit into a field of {entry.field_size}.")
    return says


def last_saves(entry: Entry, most: int = 30) -> list[UUID]:
    """The pages that saved this entry's table lately, last first; one query."""
    past = Result.history.filter(entry_id=entry.pk, saved_op__isnull=False)
    past = past.order_by("-history_date", "-history_id").values_list("saved_op", flat=True)
    return list(dict.fromkeys(past[:most]))


def _lines(
    sheets: Sequence[ScoreSheet], reckoning: Reckoning, flags: Sequence[Flag]
) -> tuple[SheetLine, ...]:
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
                says=tuple(flag.words for flag in flags if flag.sheet == index),
            )
        )
    return tuple(lines)


def _cells(sheet: ScoreSheet, panel: str, reckoning: Reckoning) -> tuple[MarkCell, ...]:
    rules = reckoning.rules
    points = {mark.criterion_id: mark.points for mark in sheet.marks.all()}
    typed = any(value is not None for value in points.values())
    cells = []
    for row, one in zip(reckoning.criteria, rules.criteria if rules else (), strict=True):
        if row.panel != panel:
            continue
        value = points.get(row.pk)
        flag = flag_mark(one, value, rules.penalty_mark if rules else None) if typed else None
        cells.append(MarkCell(row, value, flag.words if flag else ""))
    return tuple(cells)
