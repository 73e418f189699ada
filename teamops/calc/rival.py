"""Where the points are that a rival had and we had not: exact shares, rules and all."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal, localcontext
from fractions import Fraction
from itertools import combinations
from math import factorial

from teamops.calc.scoring import Result, Rules, Sheet, exact_sum, score
from teamops.calc.scoring.rules import EXACT, ZERO, settle
from teamops.calc.words import brief, list_words

Total = Callable[[Sequence[Sheet]], Result]

MOST_CRITERIA = 8  # every one doubles the number of tables to score


def shapley_shares(
    keys: Sequence[str], value: Callable[[frozenset[str]], Decimal]
) -> dict[str, Decimal]:
    """
    Each key's share of value(all) - value(none): its gain averaged over all orders [1]_.

    `value` is asked once for each set of keys. The shares add up exactly; where thirds and their
    like do not end, what their 24th place leaves goes to the largest. Refuses (ValueError) more
    than 8 keys, and none.

    References
    ----------
    .. [1] L. S. Shapley, "A value for n-person games," in Contributions to the Theory of Games II,
       Princeton Univ. Press, 1953, pp. 307-317. For products of rates these are the effects of
       P. Das Gupta, Standardization and Decomposition of Rates, U.S. Bureau of the Census, 1993.
    """
    sets = _sets(keys)
    worth = {some: Fraction(value(some)) for some in sets}
    orders = factorial(len(keys))
    shares = dict.fromkeys(keys, Fraction(0))
    for some in sets:
        for key in keys:
            if key not in some:
                times = factorial(len(some)) * factorial(len(keys) - len(some) - 1)
                shares[key] += Fraction(times, orders) * (worth[some | {key}] - worth[some])
    whole = worth[frozenset(keys)] - worth[frozenset()]
    told = {key: settle(_decimal(share)) for key, share in shares.items()}
    largest = max(keys, key=lambda key: abs(told[key]))
    told[largest] += _decimal(whole) - exact_sum(told.values())
    return told


def rival_shares(
    ours: Sequence[Sheet], theirs: Sequence[Sheet], rules: Rules, total: Total | None = None
) -> dict[str, Decimal] | None:
    """
    By criterion key, what a rival's total under the same rules has over ours. [points]

    A criterion's marks are exchanged as a whole, sheet by sheet in the order given: put both
    teams' sheets in the order of the judges where they are the same, else best sheet first. With
    a drop rule the gap is no plain sum; the shares are averaged over all orders of the criteria
    and add up to the gap exactly. A share below nothing is where we were ahead. `total` is how
    sheets are totalled where a contest does more than its rulebook; `score` by default. None where
    one of the tables has no total. Refuses (ValueError) tables of unequal length or different
    panels, and more than 8 criteria.
    """
    if len(ours) != len(theirs) or [s.panel for s in ours] != [s.panel for s in theirs]:
        raise ValueError(f"want as many sheets on both sides, got {len(ours)} and {len(theirs)}")
    work_out = total or (lambda some: score(some, rules))
    keys = [criterion.key for criterion in rules.criteria]
    totals = {}
    for taken in _sets(keys):
        mixed = [_exchanged(a, b, taken) for a, b in zip(ours, theirs, strict=True)]
        totals[taken] = work_out(mixed).total
    if None in totals.values():
        return None
    return shapley_shares(keys, lambda taken: totals[taken] or ZERO)


@dataclass(frozen=True, slots=True)
class Part:
    """One criterion on both sides of a change of rules: what its marks and its weight moved."""

    key: str
    marks: Decimal
    weights: Decimal

    @property
    def both(self) -> Decimal:
        """What it moved in all."""
        return EXACT.add(self.marks, self.weights)


@dataclass(frozen=True, slots=True)
class Weighed:
    """A criterion's weight in the total, and the mark that it weighs. [points a mark, marks]"""

    weight: Decimal
    mark: Decimal


def gap_sentence(rival: str, shares: Mapping[str, Decimal]) -> str:
    """
    Where a rival's lead came from, criteria by name; or ours, where we were ahead. [points]

    The parts said are all those that are not nothing, the largest first.
    """
    gap = exact_sum(shares.values())
    if not any(shares.values()):
        return f"{rival} and you are level in everything."
    ahead = {name: share for name, share in shares.items() if share * (gap or 1) > 0}
    behind = {name: share for name, share in shares.items() if share * (gap or 1) < 0}
    who, other = (rival, "you") if gap >= 0 else ("You", rival)
    was = "were" if who == "You" else "was"
    lead = f"{who} {was} {brief(abs(gap))} {_points(gap)} ahead: {_by_size(ahead)}"
    if not gap:
        lead = f"{rival} and you are level: {rival} was ahead by {_by_size(ahead)}"
    if not behind:
        return f"{lead}."
    less = "were" if other == "you" else "was"
    return f"{lead}; {other} {less} ahead by {_by_size(behind)}."


def _by_size(shares: Mapping[str, Decimal]) -> str:
    largest_first = sorted(shares.items(), key=lambda item: -abs(item[1]))
    return list_words([f"{brief(abs(share))} in {name.lower()}" for name, share in largest_first])


def _points(gap: Decimal) -> str:
    return "point" if abs(gap) == 1 else "points"


def take_apart(before: Mapping[str, Weighed], after: Mapping[str, Weighed]) -> tuple[Part, ...]:
    """
    What better marks and what other weights did to a total, criterion by criterion.

    Each effect is taken at the average of both sides of the other [1]_, so that the parts add up
    to the difference exactly. A criterion that only one side has is all weight.

    References
    ----------
    .. [1] E. M. Kitagawa, "Components of a difference between two rates," J. Am. Stat. Assoc.,
       vol. 50, no. 272, pp. 1168-1194, 1955, doi:10.1080/01621459.1955.10501299.
    """
    parts = []
    with localcontext(EXACT):
        for key in dict.fromkeys([*before, *after]):
            old = before.get(key) or Weighed(ZERO, after[key].mark)
            new = after.get(key) or Weighed(ZERO, before[key].mark)
            marks = (old.weight + new.weight) * (new.mark - old.mark) / 2
            weights = (old.mark + new.mark) * (new.weight - old.weight) / 2
            parts.append(Part(key, marks, weights))
    return tuple(parts)


def weighed(result: Result, rules: Rules) -> dict[str, Weighed]:
    """
    A result's criteria as `take_apart` wants them: the average kept mark, and what a mark of it is
    worth in the total. Refuses (ValueError) a result whose losses cannot be told.
    """
    if result.losses is None:
        raise ValueError(result.why_no_losses or "the points of this result cannot be told apart")
    found = {}
    with localcontext(EXACT):
        for row in result.criteria:
            mark = settle(row.kept_sum / len(row.kept_marks))
            earned = row.earned or ZERO
            worth = earned / mark if mark else row.weight * rules.factor
            found[row.key] = Weighed(worth, mark)
    return found


def _sets(keys: Sequence[str]) -> list[frozenset[str]]:
    """All sets of the keys, the empty one first."""
    if not 0 < len(keys) <= MOST_CRITERIA:
        raise ValueError(f"want 1 to {MOST_CRITERIA} criteria, got {len(keys)}")
    return [frozenset(some) for n in range(len(keys) + 1) for some in combinations(keys, n)]


def _exchanged(ours: Sheet, theirs: Sheet, taken: frozenset[str]) -> Sheet:
    """Our sheet with the taken criteria as theirs; a printed total would no longer hold."""
    marks = {**ours.marks, **{key: theirs.marks.get(key) for key in taken}}
    return replace(ours, marks=marks, given_total=None)


def _decimal(fraction: Fraction) -> Decimal:
    return EXACT.divide(Decimal(fraction.numerator), Decimal(fraction.denominator))
