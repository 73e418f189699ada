"""What should be stored of an envelope: its result, and each criterion's part in it."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from teamops.calc import scoring
from teamops.contests.models import Entry
from teamops.judging.models import Mark, Result, ScoreSheet
from teamops.judging.reckon import Reckoning, reckon, seats_twice

PLACES = Decimal("0.000001")
ROOM = Decimal(10) ** 9  # results are kept with nine digits before the point
ZERO = Decimal(0)
Papers = Sequence[tuple[ScoreSheet, Sequence[Mark]]]


@dataclass(slots=True)
class Worked:
    """A result as it should be stored: the row's own columns, and a line for each criterion."""

    columns: dict[str, Any]
    lines: dict[int, dict[str, Any]] = field(default_factory=dict)


def work_out(entry: Entry) -> Worked:
    """The result of an entry, from its sheets; three queries."""
    sheets = list(entry.sheets.prefetch_related("marks__criterion"))
    papers = [(sheet, list(sheet.marks.all())) for sheet in sheets]
    return _worked(entry, papers, reckon(entry.rulebook, papers))


def _worked(entry: Entry, papers: Papers, reckoning: Reckoning) -> Worked:
    basis = _basis(entry, papers)
    total = reckoning.total
    with_sheets = basis in (Result.Basis.MARKS, Result.Basis.JUDGE_TOTALS)
    if not with_sheets or total is None:
        return Worked(_columns(basis, None, []))
    flags = [_flag("seat_twice", words) for words in seats_twice([sheet for sheet, _ in papers])]
    flags += [_flag(flag.kind, flag.words, flag.sheet, flag.criterion) for flag in total.flags]
    if not _fits(total):
        flags.append(_flag("no_total", "The numbers are too large to keep a total of them."))
        return Worked(_columns(basis, None, flags))
    if total.why_no_total:
        flags.append(_flag("no_total", total.why_no_total))
    if total.why_no_losses and basis == Result.Basis.MARKS:
        flags.append(_flag("no_losses", total.why_no_losses))
    worked = Worked(_columns(basis, total, flags))
    if basis == Result.Basis.MARKS:
        worked.lines = _lines(papers, reckoning, worked.columns)
    return worked


def _basis(entry: Entry, papers: Papers) -> Result.Basis:
    """What the papers gave: the most that any of them says."""
    if any(mark.points is not None for _, marks in papers for mark in marks):
        return Result.Basis.MARKS
    if any(sheet.given_total is not None for sheet, _ in papers):
        return Result.Basis.JUDGE_TOTALS
    if entry.official_total is not None:
        return Result.Basis.TOTAL
    return Result.Basis.NONE if entry.placing is None else Result.Basis.PLACING


def _columns(
    basis: Result.Basis, total: scoring.Result | None, flags: list[dict[str, Any]]
) -> dict[str, Any]:
    sheets = [sheet for sheet in total.sheets if not sheet.filled] if total else []
    return {
        "basis": basis.value,
        "total": _kept(total.total) if total else None,
        "most": _kept(total.most) if total else None,
        "sheets": sum(1 for sheet in sheets if sheet.total is not None),
        "sheets_counted": sum(1 for sheet in sheets if sheet.counts),
        "lost_to_rounding": _kept(total.lost_to_rounding) if total else ZERO,
        "flags": flags,
    }


def _lines(
    papers: Papers, reckoning: Reckoning, columns: dict[str, Any]
) -> dict[int, dict[str, Any]]:
    """Every criterion's part, to six places; parts add up to the whole at those places too."""
    results = reckoning.total.criteria if reckoning.total else ()
    known = all(one.lost is not None for one in results)
    most: Sequence[Decimal | None] = [_kept(one.most) for one in results]
    lost: Sequence[Decimal | None] = [_kept(one.lost) for one in results]
    earned: Sequence[Decimal | None] = [_kept(one.earned) for one in results]
    if known and columns["total"] is not None and columns["most"] is not None:
        full = _adding_up_to(columns["most"], most)
        gone = columns["most"] - columns["total"] - columns["lost_to_rounding"]
        off = _adding_up_to(gone, lost)
        earned = [whole - part for whole, part in zip(full, off, strict=True)]
        most, lost = full, off
    points: dict[int, list[Decimal]] = {}
    for _, marks in papers:
        for mark in marks:
            if mark.points is not None:
                points.setdefault(mark.criterion_id, []).append(mark.points)
    # the panels of a rulebook come one after the other in the result, its criteria in print order
    place = {one.key: index for index, one in enumerate(results)}
    lines = {}
    for row, one in zip(
        reckoning.criteria, reckoning.rules.criteria if reckoning.rules else (), strict=True
    ):
        index, own = place[one.key], points.get(row.pk, [])
        lines[row.pk] = {
            "earned": earned[index],
            "most": most[index],
            "lost": lost[index],
            "mean": _kept(scoring.exact_sum(own) / len(own)) if own else None,
            "judges": len(own),
        }
    return lines


def _adding_up_to(whole: Decimal, parts: Sequence[Decimal | None]) -> list[Decimal]:
    """The parts with what rounding left over put on the largest."""
    exact = [part or ZERO for part in parts]
    largest = max(range(len(exact)), key=lambda index: exact[index])
    exact[largest] += whole - sum(exact, ZERO)
    return exact


def _kept(value: Decimal | None) -> Decimal | None:
    return None if value is None else value.quantize(PLACES, ROUND_HALF_UP)


def _fits(total: scoring.Result) -> bool:
    numbers = [total.total, total.most, *(one.earned for one in total.criteria)]
    return all(number is None or abs(number) < ROOM for number in numbers)


def _flag(
    kind: str, words: str, sheet: int | None = None, criterion: str | None = None
) -> dict[str, Any]:
    return {"kind": str(kind), "words": words, "sheet": sheet, "criterion": criterion}
