"""How sure the shares of the swing are: likely ranges out of the four mean squares."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from teamops.calc.variance.squares import Floats, Squares, sums_of_squares

RANGE = (0.1, 0.9)  # the ends of an 80 % interval
Range = tuple[float, float]


@dataclass(frozen=True, slots=True)
class SwingRanges:
    """An 80 % range for each of `SwingShares`' shares and for its `table`, 0 to 1."""

    judges: Range
    day: Range
    criterion: Range
    rest: Range
    table: Range


def ranges_of(
    tables: Sequence[Floats], changed: Sequence[bool] | None, rng: np.random.Generator, draws: int
) -> SwingRanges:
    """
    Ranges from generalized pivotal quantities [1]_: each sum of squares over a drawn chi-square.

    Solved for the components as the analysis of variance is, nothing below nothing. Where tables
    have unequal numbers of judges, their number is (N - sum of squares / N) / (T - 1), which makes
    the ranges approximate. `tables` are whole; the four must be told apart (see `components`).

    References
    ----------
    .. [1] S. Weerahandi, "Generalized confidence intervals," J. Am. Stat. Assoc., vol. 88,
       no. 423, pp. 899-905, 1993.
    """
    squares = sums_of_squares(tables, changed)
    seats = np.array([len(table) for table in tables], dtype=np.float64)
    judges = float(seats.sum() - (seats**2).sum() / seats.sum()) / (len(seats) - 1)
    n_criteria = tables[0].shape[1]
    parts = _drawn_components(squares, judges, n_criteria, rng, draws)
    shares = np.stack(parts) / np.sum(parts, axis=0)
    judge, day, criterion, rest = parts
    luck = (judge + rest / n_criteria) / seats.mean()
    table = luck / (luck + day + criterion / n_criteria)
    ends = [
        (float(low), float(high)) for low, high in np.quantile([*shares, table], RANGE, axis=1).T
    ]
    return SwingRanges(*ends)


def _drawn_components(
    squares: Squares, judges: float, n_criteria: int, rng: np.random.Generator, draws: int
) -> tuple[Floats, ...]:
    """Draws of judge, day, criterion and rest, each at least nothing."""

    def pivot(amount: float, df: int) -> Floats:
        return amount / rng.chisquare(df, draws)

    contest = pivot(squares.contest, squares.contest_df)
    profile = pivot(squares.contest_by_criterion, squares.contest_by_criterion_df)
    sheet = pivot(squares.judge, squares.judge_df)
    rest = pivot(squares.rest, squares.rest_df)
    day = (contest - profile - sheet + rest) / (judges * n_criteria)
    found = ((sheet - rest) / n_criteria, day, (profile - rest) / judges)
    return (*(np.maximum(part, 0) for part in found), rest)
