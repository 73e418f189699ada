"""Two rulebooks side by side: what better marks did to the total, and what other weights did."""

from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from teamops.calc.ledger import UsualLine
from teamops.calc.rival import Weighed, take_apart
from teamops.calc.scoring import exact_sum
from teamops.insight.queries.ledger import full_table
from teamops.rules.models import Rulebook

PLACES = Decimal("0.000001")


class Judged(NamedTuple):
    """A group by one rulebook, with what each criterion usually lost at a full table. [points]"""

    name: str
    rulebook: Rulebook
    lines: Sequence[UsualLine]
    contests: int


class ApartRow(NamedTuple):
    """A criterion's part in the difference, in percent of a full box, ready to print."""

    name: str
    marks: str
    weights: str
    both: str


class Apart(NamedTuple):
    """A difference between two rulebooks taken apart; the rows add up to the last."""

    sentence: str
    rows: tuple[ApartRow, ...]
    sums: ApartRow


def taken_apart(groups: Sequence[Judged]) -> Apart | None:
    """
    The two rulebooks with most contests, if they mark the same criteria on the same scales.

    Both totals are parts of a full box, so that a box of 180 can stand beside one of 50. A
    criterion's average mark is the one that lost what the criterion lost; each effect is taken at
    the average of both sides (`calc.rival.take_apart`), so the parts add up exactly. None where
    there are not two such rulebooks, or where they weigh alike.
    """
    if len(groups) < 2:
        return None
    first, second = sorted(groups, key=lambda one: -one.contests)[:2]
    if _scales(first.rulebook) != _scales(second.rulebook):
        return None
    before, after = _weighed(first), _weighed(second)
    if all(before[key].weight == after[key].weight for key in before):
        return None
    names = {row.key: row.name for row in first.rulebook.criteria.all()}
    parts = take_apart(before, after)
    marks, weights = (exact_sum(getattr(p, what) for p in parts) for what in ("marks", "weights"))
    rows = tuple(
        ApartRow(names[p.key], _signed(p.marks), _signed(p.weights), _signed(p.both)) for p in parts
    )
    both = marks + weights
    more = "more" if both >= 0 else "less"
    return Apart(
        sentence=(
            f"By {second.name} our boxes earned {abs(both):.2f} % of a full box {more} than by"
            f" {first.name}: {_signed(marks)} by the marks, {_signed(weights)} because the criteria"
            " weigh otherwise."
        ),
        rows=rows,
        sums=ApartRow("All criteria", _signed(marks), _signed(weights), _signed(both)),
    )


def _scales(rulebook: Rulebook) -> dict[str, tuple[Decimal | None, Decimal | None]]:
    return {row.key: (row.least, row.most) for row in rulebook.criteria.all()}


def _weighed(group: Judged) -> dict[str, Weighed]:
    """By criterion key, what a mark is worth in percent of a full box, and the average mark."""
    full = full_table(group.rulebook)
    found = {}
    for row, most, line in zip(group.rulebook.criteria.all(), full, group.lines, strict=True):
        top = row.most or Decimal(1)
        weight = Decimal(str(100 * most / sum(full))) / top
        short = Decimal(str(line.average / most)) * top if most else Decimal(0)
        found[row.key] = Weighed(weight.quantize(PLACES), (top - short).quantize(PLACES))
    return found


def _signed(value: Decimal) -> str:
    words = f"{abs(value):.2f}"
    if words == "0.00":
        return words
    return f"{'−' if value < 0 else '+'}{words}"
