"""Variance components by restricted maximum likelihood, in the four numbers that matter."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import minimize

from teamops.calc.variance.squares import Floats, Squares, sums_of_squares, whole_tables

SMALLEST = 1e-9  # of the rest's first estimate: no variance of a normal may be nothing
STARTS = ((0.3, 0.1, 0.3), (0.02, 0.02, 0.02))  # day, criterion, judge; in units of the rest


@dataclass(frozen=True, slots=True)
class Components:
    """
    The variances of a mark: the contest's day, contest by criterion, the judge, and the rest.

    [unit of the marks, squared]
    """

    day: float
    criterion: float
    judge: float
    rest: float


def components(contests: Sequence[Floats], changed: Sequence[bool] | None = None) -> Components:
    """
    The components of mark = criterion + change + day + day by criterion + judge + rest.

    Where all tables have equally many judges and no estimate is negative, the analysis of variance
    gives them as they stand; else the restricted likelihood is climbed. It falls into independent
    parts: the contests' levels, their profiles, and two sums of squares within tables.

    Refuses (ValueError) what cannot tell the four apart: one criterion, no table of two judges,
    fewer than two contests beyond the sides of the change; and blanks.
    """
    tables = whole_tables(contests)
    squares = sums_of_squares(tables, changed)
    if tables[0].shape[1] < 2 or squares.judge_df < 1 or squares.contest_df < 1:
        raise ValueError("want 2 criteria, a table of 2 judges, and a contest to spare")
    judges = {len(table) for table in tables}
    if len(judges) == 1:
        found = _closed_form(squares, judges.pop(), tables[0].shape[1])
        if min(found.day, found.criterion, found.judge) >= 0:
            return found
    return _climbed(tables, changed, squares)


def _closed_form(squares: Squares, judges: int, n_criteria: int) -> Components:
    """The expected mean squares solved; a component may come out negative."""
    rest = squares.rest / squares.rest_df
    judge = squares.judge / squares.judge_df
    profile = squares.contest_by_criterion / squares.contest_by_criterion_df
    level = squares.contest / squares.contest_df
    return Components(
        day=(level - profile - judge + rest) / (judges * n_criteria),
        criterion=(profile - rest) / judges,
        judge=(judge - rest) / n_criteria,
        rest=rest,
    )


def _climbed(
    tables: Sequence[Floats], changed: Sequence[bool] | None, squares: Squares
) -> Components:
    """The top of the restricted likelihood, no component below nothing."""
    likelihood = Likelihood(tables, changed, squares)
    unit = max(squares.rest / squares.rest_df, 1e-12)

    def deviance(x: Floats) -> tuple[float, Floats]:
        value, slope = likelihood.deviance(unit * x)
        return value, unit * slope

    tops = [
        minimize(
            deviance,
            np.array([*start, 1.0]),
            jac=True,
            method="SLSQP",  # needs no threaded linear algebra, which a busy machine makes slow
            bounds=[(0, None)] * 3 + [(SMALLEST, None)],
            options={"ftol": 1e-13, "maxiter": 500},
        )
        for start in STARTS
    ]
    best = min(tops, key=lambda top: float(top.fun))
    return Components(*(unit * best.x).tolist())


class Likelihood:
    """Twice the negative restricted log likelihood, up to a constant, of given components."""

    def __init__(
        self, tables: Sequence[Floats], changed: Sequence[bool] | None, squares: Squares
    ) -> None:
        """Takes whole tables and their sums of squares."""
        means = np.array([table.mean(axis=0) for table in tables])
        means -= means.mean(axis=0)
        self.n_criteria = c = means.shape[1]
        self.levels = means.mean(axis=1, keepdims=True)
        self.profiles = means - self.levels
        side = np.zeros(len(tables), bool) if changed is None else np.asarray(changed, bool)
        sides = np.array([group for group in (side, ~side) if group.any()])
        self.sides = sides.astype(np.float64)
        self.squares = squares
        # what day, contest by criterion, judge and rest add to each contest's two variances
        each, share = np.ones(len(tables)), 1 / np.array([len(table) for table in tables])
        self.level_parts = np.stack([each, each / c, share, share / c])
        self.profile_parts = np.stack([0 * each, each, 0 * each, share])

    def deviance(self, variances: Floats) -> tuple[float, Floats]:
        """The deviance and its slope at day, contest by criterion, judge and rest."""
        c, within = self.n_criteria, self.squares
        _, _, judge, rest = variances
        sheet = c * judge + rest
        level, level_slope = self._between(self.levels, variances @ self.level_parts, 1)
        profile, profile_slope = self._between(self.profiles, variances @ self.profile_parts, c - 1)
        value = within.judge_df * np.log(sheet) + within.judge / sheet
        value += within.rest_df * np.log(rest) + within.rest / rest
        slope = self.level_parts @ level_slope + self.profile_parts @ profile_slope
        by_sheet = within.judge_df / sheet - within.judge / sheet**2
        slope += by_sheet * np.array([0, 0, c, 1])
        slope[3] += within.rest_df / rest - within.rest / rest**2
        return float(value + level + profile), slope

    def _between(self, values: Floats, variance: Floats, times: int) -> tuple[float, Floats]:
        """Regression on the sides' means, weighted; `times` independent contrasts share it.

        With the slope by each contest's variance: the means are at their best, so their own change
        adds nothing.
        """
        weight = 1 / variance
        sums = self.sides @ weight
        means = (self.sides * weight) @ values / sums[:, None]
        squares = np.sum((values - self.sides.T @ means) ** 2, axis=1)
        value = times * float(np.sum(np.log(variance)) + np.sum(np.log(sums)))
        value += float(weight @ squares)
        slope = times * weight - weight**2 * (times * (self.sides.T @ (1 / sums)) + squares)
        return value, slope
