"""Sums of squares of score sheets: between contests, within a table, and what they cross."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Squares:
    """
    A sum of squares for each layer, with its degrees of freedom. [unit of the marks, squared]

    `contest` and `contest_by_criterion` weigh a contest by its judges; a change, where one was
    given, is taken out of both. `judge` is judges within their contest.
    """

    contest: float
    contest_df: int
    contest_by_criterion: float
    contest_by_criterion_df: int
    judge: float
    judge_df: int
    rest: float
    rest_df: int


def sums_of_squares(
    contests: Sequence[ArrayLike], changed: Sequence[bool] | None = None
) -> Squares:
    """
    The analysis of variance of judges nested in contests, crossed with criteria.

    Worked in two passes from the grand mean, so that marks which share their leading digits keep
    theirs. Where tables have unequal numbers of judges the two layers between contests are those
    about the means weighted by judges. Refuses (ValueError) no contests, tables of different
    widths, an empty one, and blanks.

    Parameters
    ----------
    contests : sequence of array_like, each of shape (n_sheets, n_criteria)
        Whole sheets only.
    changed : sequence of bool, shape (n_contests,), optional
        A change whose two sides have means of their own.
    """
    tables = whole_tables(contests)
    grand = float(np.mean(np.concatenate(tables)))
    tables = [table - grand for table in tables]
    judges = np.array([len(table) for table in tables], dtype=np.float64)
    means = np.array([table.mean(axis=0) for table in tables])
    side = np.zeros(len(tables), dtype=np.bool_) if changed is None else np.asarray(changed, bool)
    if side.shape != (len(tables),):
        raise ValueError(f"{len(tables)} contests, but {side.size} say with or without")
    between = means.copy()
    groups = [group for group in (side, ~side) if group.any()]
    for group in groups:
        between[group] -= np.average(means[group], axis=0, weights=judges[group])
    judge, rest = _within(tables)
    levels = between.mean(axis=1)
    profiles = between - levels[:, None]
    n_criteria, left = means.shape[1], len(tables) - len(groups)
    seats = int(judges.sum()) - len(tables)
    return Squares(
        contest=n_criteria * float(np.sum(judges * levels**2)),
        contest_df=left,
        contest_by_criterion=float(np.sum(judges[:, None] * profiles**2)),
        contest_by_criterion_df=left * (n_criteria - 1),
        judge=judge,
        judge_df=seats,
        rest=rest,
        rest_df=seats * (n_criteria - 1),
    )


def whole_tables(contests: Sequence[ArrayLike]) -> list[Floats]:
    """The tables as arrays; refuses (ValueError) what `sums_of_squares` refuses."""
    tables = [np.asarray(contest, dtype=np.float64) for contest in contests]
    if not tables or any(table.ndim != 2 or not table.size for table in tables):
        raise ValueError("want at least one table of marks, and none of them empty")
    if len({table.shape[1] for table in tables}) > 1:
        raise ValueError("tables must all have the same criteria")
    if not all(np.isfinite(table).all() for table in tables):
        raise ValueError("marks must be finite: leave out sheets with a blank")
    return tables


def _within(tables: Sequence[Floats]) -> tuple[float, float]:
    """Judges within their table, and what is left there."""
    judge = rest = 0.0
    for table in tables:
        apart = table - table.mean(axis=0)
        leniency = apart.mean(axis=1)
        judge += table.shape[1] * float(leniency @ leniency)
        rest += float(np.sum((apart - leniency[:, None]) ** 2))
    return judge, rest
