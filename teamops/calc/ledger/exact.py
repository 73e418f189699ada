"""Points lost, to the last decimal: one entry's ledger, and plain averages over contests."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal, localcontext

from teamops.calc.scoring import CriterionResult, Result, exact_sum
from teamops.calc.scoring.rules import EXACT, ZERO, settle


@dataclass(frozen=True, slots=True)
class LedgerLine:
    """One criterion of one entry's ledger, in points; `share` is of all points lost, 0 to 1.

    `most`, `earned` and `lost` are None where the ledger says `why_not`; `share` also where
    nothing was lost. A mark above the scale loses less than nothing.
    """

    key: str
    name: str
    weight: Decimal
    kept_marks: tuple[Decimal, ...]
    most: Decimal | None
    earned: Decimal | None
    lost: Decimal | None
    share: Decimal | None


@dataclass(frozen=True, slots=True)
class Ledger:
    """One entry's points: the lines' lost and `lost_to_rounding` add up to most - total exactly."""

    lines: tuple[LedgerLine, ...]
    most: Decimal | None
    total: Decimal | None
    lost: Decimal | None
    lost_to_rounding: Decimal
    why_not: str

    @property
    def costliest(self) -> LedgerLine | None:
        """The line that lost most, the first of equals; None if nothing was lost or can be told."""
        lost = [line for line in self.lines if line.lost is not None and line.lost > 0]
        return max(lost, key=lambda line: line.lost or ZERO, default=None)


def entry_ledger(result: Result) -> Ledger:
    """One entry's ledger out of its result.

    Refuses (ArithmeticError) to show a ledger that does not add up: it would mean a fault in the
    scoring, never in the paper.
    """
    losses = result.losses
    if losses is not None and exact_sum([*losses.values(), result.lost_to_rounding]) != result.lost:
        raise ArithmeticError(f"losses {losses} do not add up to {result.lost}")
    lines = tuple(_line(row, result) for row in result.criteria)
    return Ledger(
        lines=lines,
        most=result.most,
        total=result.total,
        lost=result.lost,
        lost_to_rounding=result.lost_to_rounding,
        why_not=result.why_no_losses,
    )


def _line(row: CriterionResult, result: Result) -> LedgerLine:
    share = None
    if row.lost is not None and result.lost:
        with localcontext(EXACT):
            share = settle(row.lost / result.lost)
    return LedgerLine(
        key=row.key,
        name=row.name,
        weight=row.weight,
        kept_marks=row.kept_marks,
        most=row.most,
        earned=row.earned,
        lost=row.lost,
        share=share,
    )


@dataclass(frozen=True, slots=True)
class AverageLine:
    """What one criterion lost at a contest on average, in points, over how many contests."""

    key: str
    name: str
    lost: Decimal
    most: Decimal
    contests: int


@dataclass(frozen=True, slots=True)
class AverageLosses:
    """Average points lost an entry, every contest counting the same.

    `left_out` counts the entries whose losses cannot be told. Where every contest has the same
    criteria the lines add up to `lost`, but for the last (24th) place and rounding rules.
    """

    lines: tuple[AverageLine, ...]
    lost: Decimal
    most: Decimal
    contests: int
    entries: int
    left_out: int


def average_losses(entries: Iterable[tuple[str, Result]]) -> AverageLosses:
    """Average losses over entries, each given with its contest.

    A contest's entries are averaged first, so that two boxes at one contest weigh no more than one
    box at another. A criterion is averaged over the contests that have it.
    """
    by_contest: dict[str, list[Result]] = {}
    left_out = 0
    for contest, result in entries:
        if result.losses is None:
            left_out += 1
        else:
            by_contest.setdefault(contest, []).append(result)
    names = {row.key: row.name for some in by_contest.values() for r in some for row in r.criteria}
    with localcontext(EXACT):
        lines = tuple(_average_line(key, name, by_contest) for key, name in names.items())
        lost = _mean([_mean([r.lost or ZERO for r in some]) for some in by_contest.values()])
        most = _mean([_mean([r.most or ZERO for r in some]) for some in by_contest.values()])
    number = sum(map(len, by_contest.values()))
    return AverageLosses(lines, settle(lost), settle(most), len(by_contest), number, left_out)


def _average_line(key: str, name: str, by_contest: dict[str, list[Result]]) -> AverageLine:
    lost, most = [], []
    for results in by_contest.values():
        rows = [row for result in results for row in result.criteria if row.key == key]
        if rows:
            lost.append(_mean([row.lost or ZERO for row in rows]))
            most.append(_mean([row.most or ZERO for row in rows]))
    return AverageLine(key, name, settle(_mean(lost)), settle(_mean(most)), len(lost))


def _mean(values: Sequence[Decimal]) -> Decimal:
    return sum(values, ZERO) / len(values) if values else ZERO
