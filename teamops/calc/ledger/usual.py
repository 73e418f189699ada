"""Which criterion usually costs most: averages over contests, drawn together, with chances."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from teamops.calc.ledger.quantiles import chi_square_nodes
from teamops.calc.scoring import Criterion

Floats = NDArray[np.float64]

FEWEST_CONTESTS = 3  # with fewer, no ranking
SURE_ENOUGH = 0.8  # the chance from which a criterion is named
RANGE = (0.1, 0.9)  # the ends of an 80 % interval
PRIOR_SCALE = 1 / 18  # how far criteria usually lie apart, in widths of the scale: 0.5 on 1-10
GRID, NODES = 41, 12
LEAST_VARIANCE = 1e-12  # [widths squared]; keeps contests that agree to the digit reckonable


class Verdict(StrEnum):
    """What can be said about the costliest criterion."""

    TOO_FEW = "too_few"  # fewer than three contests
    SINGLE = "single"  # there is only one criterion
    UNCLEAR = "unclear"  # none is at least 80 % likely
    NAMED = "named"


@dataclass(frozen=True, slots=True)
class UsualLine:
    """One criterion's usual loss for a full table, in points.

    `average` is plain; `likely` is drawn toward the common mean, with an 80 % interval from `low`
    to `high`, and `chance` is that of being the costliest, 0 to 1. The last four are None where
    there is no ranking.
    """

    key: str
    name: str
    average: float
    likely: float | None = None
    low: float | None = None
    high: float | None = None
    chance: float | None = None


@dataclass(frozen=True, slots=True)
class UsualLosses:
    """Usual losses in print order; `keep` (0 to 1) tells how much of the differences is believed.

    `leader` is the key of the likeliest costliest criterion, to be named as such only under
    `Verdict.NAMED`; None where there is no ranking.
    """

    verdict: Verdict
    contests: int
    lines: tuple[UsualLine, ...]
    keep: float | None = None
    leader: str | None = None

    def line(self, key: str) -> UsualLine:
        """The line of this criterion; KeyError if there is none."""
        for line in self.lines:
            if line.key == key:
                return line
        raise KeyError(key)


def usual_losses(
    contests: Sequence[ArrayLike],
    criteria: Sequence[Criterion],
    sheets: int,
    rng: np.random.Generator,
    draws: int = 20_000,
) -> UsualLosses:
    """What each criterion usually costs, and the chance that it is the costliest.

    Contest averages weigh the same however many judges sat. A criterion's deviation from the
    common mean is kept by a factor found on a grid: the spread between criteria has a half-normal
    prior of 1/18 of the scale's width; the noise is the contest-by-criterion mean square. The
    level's own uncertainty (Student's t over contests) is part of the intervals. Marks of unequal
    scales are compared as parts of their scale's width. The grid ends at a spread of 4 prior
    scales: criteria further apart than that are drawn together too much. With fewer than 3
    contests there is no ranking, only averages, and with none no lines.

    Refuses (ValueError) criteria without a least and a most, tables of another width, and fewer
    than 1,000 draws.

    Parameters
    ----------
    contests : sequence of array_like, each of shape (n_sheets, n_criteria)
        Every sheet of our own, dropped ones too; NaN for a blank. A contest where a criterion has
        no mark at all is left out. [points]
    criteria : sequence of Criterion
        In the order of the tables' columns.
    sheets : int
        How many sheets are added up at a full table; 1 where they are averaged.
    rng : numpy.random.Generator
        Source of the draws; the same state gives the same answer.
    draws : int
        How many; 20,000 tell chances to about 0.4 of a percent.
    """
    means = _contest_means(contests, criteria, draws)
    width = np.array([float(c.most or 0) - float(c.least or 0) for c in criteria])
    cost = sheets * np.array([float(c.weight) for c in criteria]) * width
    if not len(means):
        return UsualLosses(Verdict.TOO_FEW, 0, ())
    average = cost * (1 - means.mean(axis=0))
    if len(means) < FEWEST_CONTESTS or len(criteria) < 2:
        few = len(means) < FEWEST_CONTESTS
        lines = [UsualLine(c.key, c.name, float(a)) for c, a in zip(criteria, average, strict=True)]
        return UsualLosses(Verdict.TOO_FEW if few else Verdict.SINGLE, len(means), tuple(lines))
    keep, parts = _draw(means, rng, draws)
    likely = cost * (1 - means.mean() - keep * (means.mean(axis=0) - means.mean()))
    losses = cost * (1 - parts)
    # Where the drawn spread is 0 all criteria tie: they share that draw, or the first would win it.
    costliest = losses == losses.max(axis=1, keepdims=True)
    chance = (costliest / costliest.sum(axis=1, keepdims=True)).mean(axis=0)
    low, high = np.quantile(losses, RANGE, axis=0)
    table = np.stack([average, likely, low, high, chance], axis=1).tolist()
    lines = [UsualLine(c.key, c.name, *row) for c, row in zip(criteria, table, strict=True)]
    leader = int(chance.argmax())
    verdict = Verdict.NAMED if chance[leader] >= SURE_ENOUGH else Verdict.UNCLEAR
    return UsualLosses(verdict, len(means), tuple(lines), keep, criteria[leader].key)


def keep_factor(deviations: Floats, variance: float, df: int, scale: float) -> float:
    """How much of the criteria's deviations from their common mean to believe, 0 to 1.

    `variance` is that of a deviation apart from the (1 - 1/C) of centring, estimated on `df`
    degrees of freedom; `scale` that of the half-normal prior of the spread. All in one unit.
    """
    weight, keep, _ = _grid(deviations, variance, df, scale)
    return float(np.sum(weight * keep))


def _contest_means(
    contests: Sequence[ArrayLike], criteria: Sequence[Criterion], draws: int
) -> Floats:
    """Each contest's mean by criterion, in widths of the scale above its least mark."""
    if draws < 1000 or not criteria:
        raise ValueError(f"want at least 1000 draws and one criterion, got {draws} draws")
    if any(c.least is None or c.most is None or c.least >= c.most for c in criteria):
        raise ValueError("every criterion needs a least and a most")
    least = np.array([float(c.least or 0) for c in criteria])
    width = np.array([float(c.most or 0) for c in criteria]) - least
    means = []
    for contest in contests:
        marks = np.asarray(contest, dtype=np.float64)
        if marks.ndim != 2 or marks.shape[1] != len(criteria):
            raise ValueError(f"want tables of {len(criteria)} columns, got shape {marks.shape}")
        mean = marks.mean(axis=0) if len(marks) else np.full(len(criteria), math.nan)
        if np.isnan(mean).any():  # blanks are rare, and nanmean costs ten plain means
            if np.isnan(marks).all(axis=0).any():
                continue
            mean = np.nanmean(marks, axis=0)
        means.append((mean - least) / width)
    return np.array(means).reshape(-1, len(criteria))


def _draw(means: Floats, rng: np.random.Generator, draws: int) -> tuple[float, Floats]:
    """The keep factor, and draws of every criterion's true mean, shape (draws, n_criteria)."""
    n_contests, n_criteria = means.shape
    level = means.mean()
    by_contest = means.mean(axis=1)
    deviations = means.mean(axis=0) - level
    rest = means - by_contest[:, None] - deviations
    df = (n_contests - 1) * (n_criteria - 1)
    variance = max(float(np.sum(rest**2)) / df / n_contests, LEAST_VARIANCE)
    weight, keep, noise = _grid(deviations, variance, df, PRIOR_SCALE)
    cell = rng.choice(weight.size, size=draws, p=weight.ravel())
    kept, spread = keep.ravel()[cell], np.sqrt((keep * noise).ravel()[cell])
    swing = rng.standard_normal((draws, n_criteria))
    swing -= swing.mean(axis=1, keepdims=True)  # deviations add up to nothing
    shift = rng.standard_t(n_contests - 1, size=draws) * by_contest.std(ddof=1)
    parts = level + shift[:, None] / math.sqrt(n_contests)
    parts = parts + kept[:, None] * deviations + spread[:, None] * swing
    return float(np.sum(weight * keep)), parts


def _grid(
    deviations: Floats, variance: float, df: int, scale: float
) -> tuple[Floats, Floats, Floats]:
    """Posterior weight, keep factor and noise variance on the grid of spread by noise."""
    spread = np.linspace(0, 4 * scale, GRID)[:, None] ** 2
    noise = variance * df / chi_square_nodes(df, NODES)[None, :]
    both = spread + noise
    log_weight = -(len(deviations) - 1) / 2 * np.log(both)
    log_weight -= np.sum(deviations**2) / (2 * both) + spread / (2 * scale**2)
    weight = np.exp(log_weight - log_weight.max())
    return weight / weight.sum(), spread / both, np.broadcast_to(noise, both.shape)
