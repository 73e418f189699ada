"""What should be stored of an envelope: its result, and each criterion's part in it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from teamops.calc import scoring
from teamops.contests.models import Entry
from teamops.judging.given import GivenTotals, account
from teamops.judging.models import Result
from teamops.judging.reckon import Papers, Reckoning, reckon, seats_twice
from teamops.judging.settling import Settled, settle

PLACES = Decimal("0.000001")
ROOM = Decimal(10) ** 9  # results are kept with nine digits before the point
ZERO = Decimal(0)


@dataclass(slots=True)
class Worked:
    """A result as it should be stored: the row's own columns, and a line for each criterion."""

    columns: dict[str, Any]
    lines: dict[int, dict[str, Any]] = field(default_factory=dict)


def work_out(entry: Entry) -> Worked:
    """The result of an entry, from its papers; three queries, one more where no mark is known."""
    sheets = list(entry.sheets.prefetch_related("marks__criterion"))
    papers = [(sheet, list(sheet.marks.all())) for sheet in sheets]
    return work_out_of(entry, papers, {} if has_marks(papers) else given_totals(entry))


def work_out_of(entry: Entry, papers: Papers, totals: Mapping[int, Decimal | None]) -> Worked:
    """
    The same of papers and criterion totals in hand, stored or not yet.

    No query where the rulebook's criteria and each mark's are loaded.
    """
    given = None if has_marks(papers) else account(entry, totals)
    return _worked(entry, papers, reckon(entry.rulebook, papers), given)


def given_totals(entry: Entry) -> dict[int, Decimal | None]:
    """What the organiser gave for each criterion, by its id; one query."""
    return {row.criterion_id: row.points for row in entry.criterion_totals.order_by("pk")}


def has_marks(papers: Papers) -> bool:
    """Whether any judge's mark is known."""
    return any(mark.points is not None for _, marks in papers for mark in marks)


def _worked(
    entry: Entry, papers: Papers, reckoning: Reckoning, given: GivenTotals | None
) -> Worked:
    basis = _basis(entry, papers, given)
    if basis == Result.Basis.CRITERION_TOTALS and given is not None:
        return _of_given(entry, given, reckoning)
    total = reckoning.total
    flags = [_flag("seat_twice", words) for words in seats_twice([sheet for sheet, _ in papers])]
    if basis not in (Result.Basis.MARKS, Result.Basis.JUDGE_TOTALS) or total is None:
        flags += [_flag(odd.kind, odd.words, odd.sheet, odd.criterion) for odd in reckoning.odd]
        return Worked(_columns(basis, None, flags if papers else []))
    flags += [_flag(odd.kind, odd.words, odd.sheet, odd.criterion) for odd in reckoning.odd]
    if not _fits(total):
        flags.append(_flag("no_total", "The numbers are too large to keep a total of them."))
        return Worked(_columns(basis, None, flags))
    settled = settle(entry, total.total)
    why_no_total = settled.why_no_total or total.why_no_total
    if settled.words and not settled.why_no_total:
        flags.append(_flag("settled", settled.words))
    if why_no_total:
        flags.append(_flag("no_total", why_no_total))
    why_no_losses = settled.why_no_total or total.why_no_losses
    if why_no_losses and basis == Result.Basis.MARKS:
        flags.append(_flag("no_losses", why_no_losses))
    worked = Worked(_columns(basis, reckoning, flags, settled))
    if basis == Result.Basis.MARKS:
        worked.lines = _lines(papers, reckoning, worked.columns)
    return worked


def _of_given(entry: Entry, given: GivenTotals, reckoning: Reckoning) -> Worked:
    """A result from a total a criterion."""
    settled = settle(entry, given.total)
    flags = [_flag("given", words) for words in given.says]
    flags += [_flag(odd.kind, odd.words, odd.sheet, odd.criterion) for odd in reckoning.odd]
    lost = given.most is not None and not settled.why_no_total
    if settled.words and not settled.why_no_total:
        flags.append(_flag("settled", settled.words))
    if settled.why_no_total:
        flags.append(_flag("no_total", settled.why_no_total))
    if not lost:
        flags.append(_flag("no_losses", settled.why_no_total or given.why_no_losses))
    numbers = [given.total, given.most, *(line.earned for line in given.lines.values())]
    if any(number is not None and abs(number) >= ROOM for number in numbers):
        flags.append(_flag("no_total", "The numbers are too large to keep a total of them."))
        return Worked(_columns(Result.Basis.CRITERION_TOTALS, None, flags))
    columns = _columns(Result.Basis.CRITERION_TOTALS, None, flags) | {
        "total": _kept(settled.total),
        "most": _kept(given.most),
        "docked": _kept(settled.docked),
    }
    lines = {
        key: {
            "earned": _kept(line.earned),
            "most": _kept(line.most) if lost else None,
            "lost": _kept(line.lost) if lost else None,
            "mean": None,  # no mark is known
            "judges": 0,
        }
        for key, line in given.lines.items()
    }
    return Worked(columns, lines)


def _basis(entry: Entry, papers: Papers, given: GivenTotals | None) -> Result.Basis:
    """What the papers gave: the most that any of them says."""
    if has_marks(papers):
        return Result.Basis.MARKS
    if given is not None:
        return Result.Basis.CRITERION_TOTALS
    if any(sheet.given_total is not None for sheet, _ in papers):
        return Result.Basis.JUDGE_TOTALS
    if entry.official_total is not None:
        return Result.Basis.TOTAL
    return Result.Basis.NONE if entry.placing is None else Result.Basis.PLACING


def _columns(
    basis: Result.Basis,
    reckoning: Reckoning | None,
    flags: list[dict[str, Any]],
    settled: Settled | None = None,
) -> dict[str, Any]:
    total = reckoning.total if reckoning else None
    sheets = [sheet for sheet in reckoning.counted if not sheet.filled] if reckoning else []
    return {
        "basis": basis.value,
        "total": _kept(settled.total) if settled else None,
        "most": _kept(total.most) if total else None,
        "sheets": sum(1 for sheet in sheets if sheet.total is not None),
        "sheets_counted": sum(1 for sheet in sheets if sheet.counts),
        "lost_to_rounding": _kept(total.lost_to_rounding) if total else ZERO,
        "docked": _kept(settled.docked) if settled else ZERO,
        "round": reckoning.round if reckoning else "",
        "flags": flags,
    }


def _lines(
    papers: Papers, reckoning: Reckoning, columns: dict[str, Any]
) -> dict[int, dict[str, Any]]:
    """
    Every criterion's part, to six places; parts add up to the whole at those places too.

    Parts are of the deciding round; means are over every sheet of all rounds.
    """
    results = reckoning.total.criteria if reckoning.total else ()
    known = all(one.lost is not None for one in results) and columns["total"] is not None
    most: Sequence[Decimal | None] = [_kept(one.most) for one in results]
    lost: Sequence[Decimal | None] = [_kept(one.lost) for one in results]
    earned: Sequence[Decimal | None] = [_kept(one.earned) for one in results]
    if not known:  # a box without a total has lost nothing that could be told
        most = lost = [None] * len(results)
    elif columns["most"] is not None:
        full = _adding_up_to(columns["most"], most)
        gone = columns["most"] - columns["total"] - columns["lost_to_rounding"] - columns["docked"]
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
