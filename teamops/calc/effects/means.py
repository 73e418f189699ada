"""Contest averages in parts of the scale: what a comparison of contests stands on."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from teamops.calc.scoring import Criterion

Floats = NDArray[np.float64]

CROWDED = 0.4  # with more than this part of the marks at the top, a scale has no room left


@dataclass(frozen=True, slots=True, eq=False)
class Means:
    """
    Every contest's average by criterion, in widths of the scale above its least mark.

    `values` has a row a contest and a column a criterion; `on` tells the contests with the change.
    `rounding` is the variance that the steps of the scale alone leave in a contest's average of
    one criterion [widths squared]; averages that agree to the digit know no less.
    """

    values: Floats
    on: NDArray[np.bool_]
    rounding: float
    crowded: tuple[str, ...]
    left_out: int


def contest_means(
    contests: Sequence[ArrayLike], changed: Sequence[bool], criteria: Sequence[Criterion]
) -> Means:
    """
    The averages of the contests where every criterion has a mark; the others are counted.

    Refuses (ValueError) criteria without a least and a most, tables of another width, and a
    pattern of another length.
    """
    if len(changed) != len(contests):
        raise ValueError(f"{len(contests)} contests, but {len(changed)} say with or without")
    least, width, step = _scales(criteria)
    tables = [_table(contest, len(criteria)) for contest in contests]
    filled = [index for index, table in enumerate(tables) if len(table)]
    if not filled:
        return Means(np.empty((0, len(criteria))), np.empty(0, np.bool_), 0.0, (), len(tables))
    # all tables one below the other: many small sums cost more than one large one
    marks = np.concatenate([tables[index] for index in filled])
    sheets = np.array([len(tables[index]) for index in filled])
    starts = np.cumsum(sheets) - sheets
    there = ~np.isnan(marks)
    counts = np.add.reduceat(there, starts, axis=0, dtype=np.int64)
    whole = counts.all(axis=1)
    sums = np.add.reduceat(np.where(there, marks, 0), starts, axis=0)[whole]
    values = (sums / counts[whole] - least) / width
    on = np.array([bool(changed[index]) for index in filled], dtype=np.bool_)[whole]
    used = np.repeat(whole, sheets)[:, None] & there
    at_top = np.sum(used & (marks >= least + width), axis=0) > CROWDED * np.sum(used, axis=0)
    rounding = _rounding(step / width, sheets[whole].astype(np.float64))
    crowded = tuple(c.key for c, full in zip(criteria, at_top, strict=True) if full)
    return Means(values, on, rounding, crowded, len(tables) - len(values))


def means_of_averages(
    averages: ArrayLike,
    sheets: ArrayLike,
    changed: Sequence[bool],
    criteria: Sequence[Criterion],
    at_top: Sequence[float] = (),
) -> Means:
    """
    The same from averages that were made already, NaN where a contest has none.

    `sheets` counts each contest's, shape (n_contests,); `at_top` is each criterion's part of marks
    at the top of its scale (0 to 1), if it is known. Refuses (ValueError) what `contest_means`
    refuses, and a contest without sheets.
    """
    least, width, step = _scales(criteria)
    values = np.asarray(averages, dtype=np.float64).reshape(-1, len(criteria))
    judges, on = np.asarray(sheets, dtype=np.float64), np.asarray(changed, dtype=np.bool_)
    if judges.shape != on.shape or len(values) != len(on):
        raise ValueError(f"{len(values)} contests, but {len(on)} say with or without")
    if not (judges > 0).all():
        raise ValueError("every contest needs a sheet")
    whole = ~np.isnan(values).any(axis=1)
    crowded = tuple(c.key for c, part in zip(criteria, at_top, strict=False) if part > CROWDED)
    return Means(
        values=(values[whole] - least) / width,
        on=on[whole],
        rounding=_rounding(step / width, judges[whole]),
        crowded=crowded,
        left_out=int(np.sum(~whole)),
    )


def _rounding(steps: Floats, sheets: Floats) -> float:
    """The variance that rounding to these steps [widths] leaves in an average of such tables."""
    if not len(sheets):
        return 0.0
    return float(np.mean(steps**2) / 12 * np.mean(1 / sheets))


def _table(contest: ArrayLike, n_criteria: int) -> Floats:
    marks = np.asarray(contest, dtype=np.float64)
    if marks.ndim != 2 or marks.shape[1] != n_criteria:
        raise ValueError(f"want tables of {n_criteria} columns, got shape {marks.shape}")
    return marks


def _scales(criteria: Sequence[Criterion]) -> tuple[Floats, Floats, Floats]:
    """Least mark, width and step of every criterion's scale; a step of 0 where none is known."""
    if not criteria:
        raise ValueError("want at least one criterion")
    if any(c.least is None or c.most is None or c.least >= c.most for c in criteria):
        raise ValueError("every criterion needs a least and a most")
    least = np.array([float(c.least or 0) for c in criteria])
    most = np.array([float(c.most or 0) for c in criteria])
    return least, most - least, np.array([float(c.step or 0) for c in criteria])
