"""One entry's envelope: every judge's sheet, what it adds up to, and what is odd about it."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import prefetch_related_objects

from teamops.calc.scoring import Flag, SheetResult, flag_mark
from teamops.contests.models import Entry
from teamops.judging.models import Result, ScoreSheet
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
    def not_counting(self) -> tuple[str, ...]:
        """The sheets that do not count, and why."""
        return tuple(
            f"{line.label[:1].upper()}{line.label[1:]}: {line.why_not}"
            for line in self.sheets
            if line.why_not and line.total is not None
        )


def envelope(entry: Entry) -> Envelope:
    """The entry's papers and what they come to; four queries, however many judges."""
    prefetch_related_objects([entry.rulebook], "criteria")
    sheets = list(entry.sheets.prefetch_related("marks__criterion"))
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
        says=(*seats_twice(sheets), *(flag.words for flag in flags if flag.sheet is None)),
        posted_words=posted_words(total.total if total else None, entry.official_total),
    )


def _lines(
    sheets: Sequence[ScoreSheet], reckoning: Reckoning, flags: Sequence[Flag]
) -> tuple[SheetLine, ...]:
    results: Sequence[SheetResult | None]
    results = reckoning.total.sheets if reckoning.total else [None] * len(sheets)
    lines = []
    for index, sheet in enumerate(sheets):
        result = results[index]
        lines.append(
            SheetLine(
                sheet=sheet,
                label=reckoning.labels[index],
                cells=_cells(sheet, reckoning),
                total=result.total if result else sheet.given_total,
                counts=result.counts if result else False,
                why_not=result.why_not if result else "",
                says=tuple(flag.words for flag in flags if flag.sheet == index),
            )
        )
    return tuple(lines)


def _cells(sheet: ScoreSheet, reckoning: Reckoning) -> tuple[MarkCell, ...]:
    rules = reckoning.rules
    points = {mark.criterion_id: mark.points for mark in sheet.marks.all()}
    typed = any(value is not None for value in points.values())
    cells = []
    for row, one in zip(reckoning.criteria, rules.criteria if rules else (), strict=True):
        if row.panel != sheet.panel and len(rules.panel_keys if rules else ()) > 1:
            continue
        value = points.get(row.pk)
        flag = flag_mark(one, value, rules.penalty_mark if rules else None) if typed else None
        cells.append(MarkCell(row, value, flag.words if flag else ""))
    return tuple(cells)
