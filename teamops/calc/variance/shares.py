"""The shares of the swing, for the screen: how much is luck of the judges, how much our day."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from teamops.calc.scoring import Criterion
from teamops.calc.variance.ranges import SwingRanges, ranges_of
from teamops.calc.variance.reml import components
from teamops.calc.variance.squares import Floats

FEWEST_CONTESTS = 3  # with fewer, the day cannot be told from the judges


@dataclass(frozen=True, slots=True)
class SwingShares:
    """
    Where the swing of a single mark comes from; the four shares add up to 1.

    `judges` is how lenient or strict a judge is all over the sheet, `day` what moves all judges and
    criteria of a contest, `criterion` what moves one criterion for all judges of a contest, `rest`
    what is left: one judge on one criterion. `swing` is the standard deviation of a mark, where
    the scales are alike in marks, else as part of the scale. `table` is that part of the swing of
    a whole table's average which other judges would have changed, 0 to 1, at `seats` judges.
    """

    judges: float
    day: float
    criterion: float
    rest: float
    swing: float
    table: float
    seats: int
    contests: int


def swing_shares(
    contests: Sequence[ArrayLike],
    criteria: Sequence[Criterion],
    changed: Sequence[bool] | None = None,
) -> SwingShares | None:
    """
    The shares over these contests, with a change taken out where one is given.

    Marks of unequal scales are compared as parts of their scale. A sheet with a blank is left out,
    and a contest without a whole sheet. None where the four cannot be told apart: fewer than three
    contests (beyond one for a second side of a change), one criterion, no table of two judges, or
    marks that never differ. Few contests tell the day's share poorly; say so beside it.

    Refuses (ValueError) criteria without a least and a most, tables of another width, and a pattern
    of another length.

    Parameters
    ----------
    contests : sequence of array_like, each of shape (n_sheets, n_criteria)
        Every sheet of our own, dropped ones too; NaN for a blank. [marks]
    criteria : sequence of Criterion
        In the order of the tables' columns.
    changed : sequence of bool, shape (n_contests,), optional
        Whether a change was on.
    """
    usable = _usable(contests, criteria, changed)
    if usable is None:
        return None
    tables, sides = usable
    found = components(tables, sides)
    total = found.judge + found.day + found.criterion + found.rest
    seats = round(float(np.mean([len(table) for table in tables])))
    own = found.day + found.criterion / len(criteria)
    luck = (found.judge + found.rest / len(criteria)) / seats
    alike = len({(c.least, c.most) for c in criteria}) == 1
    return SwingShares(
        judges=found.judge / total,
        day=found.day / total,
        criterion=found.criterion / total,
        rest=found.rest / total,
        swing=float(np.sqrt(total) * (_widths(criteria)[0] if alike else 1)),
        table=luck / (luck + own),
        seats=seats,
        contests=len(tables),
    )


def swing_ranges(
    contests: Sequence[ArrayLike],
    criteria: Sequence[Criterion],
    rng: np.random.Generator,
    changed: Sequence[bool] | None = None,
    draws: int = 4_000,
) -> SwingRanges | None:
    """
    How far each of `swing_shares` is sure: it lies in its range in 8 of 10 cases.

    None and refusals as there; the same state of `rng` gives the same answer. 4,000 draws tell an
    end of a range to about two percent.
    """
    usable = _usable(contests, criteria, changed)
    return None if usable is None else ranges_of(*usable, rng, draws)


def _usable(
    contests: Sequence[ArrayLike], criteria: Sequence[Criterion], changed: Sequence[bool] | None
) -> tuple[list[Floats], list[bool] | None] | None:
    """Whole sheets in widths of their scale, by contest, where they tell the four apart."""
    if any(c.least is None or c.most is None or c.least >= c.most for c in criteria):
        raise ValueError("every criterion needs a least and a most")
    if changed is not None and len(changed) != len(contests):
        raise ValueError(f"{len(contests)} contests, but {len(changed)} say with or without")
    width = _widths(criteria)
    tables = [_whole_sheets(contest, width) for contest in contests]
    used = [index for index, table in enumerate(tables) if len(table)]
    sides = None if changed is None else [bool(changed[index]) for index in used]
    tables = [tables[index] for index in used]
    more = len(set(sides)) - 1 if sides else 0
    judged = any(len(table) > 1 for table in tables)
    if len(tables) < FEWEST_CONTESTS + more or len(criteria) < 2 or not judged:
        return None
    if np.ptp(np.concatenate(tables), axis=0).max() == 0:
        return None
    return tables, sides


def _widths(criteria: Sequence[Criterion]) -> Floats:
    return np.array([float(c.most or 0) - float(c.least or 0) for c in criteria])


def _whole_sheets(contest: ArrayLike, width: Floats) -> Floats:
    marks = np.asarray(contest, dtype=np.float64)
    if marks.ndim != 2 or marks.shape[1] != len(width):
        raise ValueError(f"want tables of {len(width)} columns, got shape {marks.shape}")
    whole: Floats = marks[~np.isnan(marks).any(axis=1)] / width
    return whole
