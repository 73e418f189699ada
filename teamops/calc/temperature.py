"""The finish temperature that scores best: a concave curve with a stated starting belief."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtri

from teamops.calc.words import count_of, opening

Floats = NDArray[np.float64]

START_SD_C = 3.0  # [°C] how far the best temperature may lie from the team's own target
# [marks/°C²] Judges dock a steak 5 °C over by 2 to 3 marks: common practice, no source.
CURVATURE = 0.1
NOISE_MARKS, NOISE_DF = 0.3, 3.0  # what is believed of a contest's noise, and how firmly
REACH, STEEPEST = 4.0, 6.0  # the grid's ends, in standard deviations of the two beliefs
CELLS_C, CELLS_CURVATURE = 481, 121
TOO_WIDE = 0.75  # of the starting 80 % range; wider has taught nothing worth telling
START_RANGE_C = float(2 * ndtri(0.9) * START_SD_C)
LEAST_COOKS = 3  # of fewer, one that went wrong for another reason would be all that is told
MEDIUM_C = 60.2778  # 140.5 °F, the middle of medium, 139 to 142 °F: common practice, no source
CARRIED_C = 2.7778  # 5 °F from pull to peak: common practice, no source


@dataclass(frozen=True, slots=True, eq=False)
class BestTemperature:
    """
    What is believed of the best finish temperature after these cooks. [°C]

    `low` to `high` hold it 8 times in 10, `lowest` to `highest` 19 in 20. `told` is False where
    the range is hardly narrower than the starting one, or the cooks are fewer than three: then
    only that may be said. `coldest` to `hottest` is where cooks finished. `curvature` is
    the likely loss at 1 °C off [marks/°C²]. `grid_c` and `density` [1/°C] draw the belief,
    `start_density` that before any cook.
    """

    target_c: float
    cooks: int
    mean: float
    sd: float
    lowest: float
    low: float
    median: float
    high: float
    highest: float
    curvature: float
    told: bool
    coldest: float
    hottest: float
    grid_c: Floats
    density: Floats
    start_density: Floats


def best_temperature(
    finish_c: ArrayLike,
    marks: ArrayLike,
    target_c: float,
    curvature_scale: float = CURVATURE,
) -> BestTemperature:
    """
    The belief about the best temperature, from cooks that finished here and there.

    A cook's mark is h - k (x - t)², never the vertex of a fitted parabola: with the spread of
    temperatures that cooks have, that one runs away. Beliefs before any cook: t normal about the
    team's target with 3 °C; k, the curvature, half-normal with the scale given; the noise of a
    contest's mean mark about 0.3 with the weight of 3 cooks; h any. Worked on a grid of t from -12
    to +12 °C about the target and of k up to 6 scales; h and the noise are integrated exactly.
    Quantiles go by the middle of each cell. Not for a best further than 12 °C from the target.

    Refuses (ValueError) lists of unequal length, no cooks, what is no number, and a scale that is
    not above 0.

    Parameters
    ----------
    finish_c : array_like, shape (n_cooks,)
        The same moment of every cook: always pull, or always peak. [°C]
    marks : array_like, shape (n_cooks,)
        The mean doneness mark of the contest, about ten marks wide. [marks]
    target_c : float
        What the team aims at. [°C]
    curvature_scale : float
        How steeply doneness may fall off. The default says that 5 °C off costs some 2 marks.
        [marks/°C²]
    """
    x, y = _cooks(finish_c, marks, target_c, curvature_scale)
    grid, curvatures, weight = _posterior(x, y, target_c, curvature_scale)
    start = np.exp(-0.5 * ((grid - target_c) / START_SD_C) ** 2)
    belief = weight.sum(axis=1)
    lowest, low, median, high, highest = _quantiles(grid, belief, (0.025, 0.1, 0.5, 0.9, 0.975))
    mean = float(belief @ grid)
    cell = grid[1] - grid[0]
    return BestTemperature(
        target_c=target_c,
        cooks=len(x),
        mean=mean,
        sd=float(np.sqrt(belief @ (grid - mean) ** 2)),
        lowest=lowest,
        low=low,
        median=median,
        high=high,
        highest=highest,
        curvature=float(weight.sum(axis=0) @ curvatures),
        told=len(x) >= LEAST_COOKS and high - low <= TOO_WIDE * START_RANGE_C,
        coldest=float(x.min()),
        hottest=float(x.max()),
        grid_c=grid,
        density=belief / cell,
        start_density=start / (start.sum() * cell),
    )


def likely_marks(
    finish_c: ArrayLike,
    marks: ArrayLike,
    target_c: float,
    at_c: ArrayLike,
    rng: np.random.Generator,
    curvature_scale: float = CURVATURE,
    draws: int = 4_000,
) -> Floats:
    """
    The mean mark to expect at these temperatures, with an 80 % band, for the picture.

    By draws from the belief of `best_temperature`, whose arguments and refusals these are; not
    held to the top of the scale. Shape (3, n_at): low, middle, high. [marks]
    """
    x, y = _cooks(finish_c, marks, target_c, curvature_scale)
    grid, curvatures, weight = _posterior(x, y, target_c, curvature_scale)
    cell = rng.choice(weight.size, size=draws, p=weight.ravel())
    best, curvature = grid[cell // len(curvatures)], curvatures[cell % len(curvatures)]
    fall = curvature[:, None] * (x - best[:, None]) ** 2
    top = y + fall
    squares = np.sum((top - top.mean(axis=1, keepdims=True)) ** 2, axis=1)
    df = NOISE_DF + len(x) - 1
    noise = np.sqrt((NOISE_DF * NOISE_MARKS**2 + squares) / rng.chisquare(df, draws) / len(x))
    height = top.mean(axis=1) + noise * rng.standard_normal(draws)
    at = np.asarray(at_c, dtype=np.float64)
    curves = height[:, None] - curvature[:, None] * (at - best[:, None]) ** 2
    band: Floats = np.quantile(curves, (0.1, 0.5, 0.9), axis=0)
    return band


def temperature_sentence(best: BestTemperature, shown: Sequence[str]) -> str:
    """
    The best temperature, or that it cannot be told.

    `shown` are median, low and high as the team's units say them, such as ("132 °F", ...); the
    caution about what is safe to eat is for whoever shows it.
    """
    cooks = count_of(best.cooks, "cook")
    if best.cooks < LEAST_COOKS:
        return (
            f"{opening(cooks)} cannot tell the best finish: it takes"
            f" {count_of(LEAST_COOKS, 'cook')} at least, that finished apart."
        )
    if not best.told:
        return (
            f"From {cooks} the best finish cannot be told: they finished too much alike, or the"
            " marks swing too much. What is shown is still the target you started from."
        )
    median, low, high = shown
    return f"Best guess from {cooks}: {median}; 8 in 10 sure it is {low} to {high}."


def beyond_sentence(best: BestTemperature) -> str:
    """That the best guess lies where nobody finished yet; empty where it lies among the cooks."""
    if not best.told or best.coldest <= best.median <= best.hottest:
        return ""
    side, word = ("below", "cooler") if best.median < best.coldest else ("above", "hotter")
    return (
        f"Every cook finished {'above' if side == 'below' else 'below'} that: how far {side} them"
        f" the best lies is mostly belief. One {word} finish would tell more than many like these."
    )


def _cooks(
    finish_c: ArrayLike, marks: ArrayLike, target_c: float, scale: float
) -> tuple[Floats, Floats]:
    x, y = np.asarray(finish_c, dtype=np.float64), np.asarray(marks, dtype=np.float64)
    if x.ndim != 1 or x.shape != y.shape or not len(x):
        raise ValueError(f"want one mark a cook, got shapes {x.shape} and {y.shape}")
    if not (np.isfinite(x).all() and np.isfinite(y).all() and np.isfinite(target_c)):
        raise ValueError("temperatures and marks must be finite")
    if not scale > 0:
        raise ValueError(f"curvature scale must be above 0, got {scale}")
    return x, y


def _posterior(
    x: Floats, y: Floats, target_c: float, scale: float
) -> tuple[Floats, Floats, Floats]:
    """Temperatures, curvatures, and the belief in each pair, adding up to 1."""
    grid = target_c + START_SD_C * np.linspace(-REACH, REACH, CELLS_C)
    curvatures = scale * STEEPEST * (np.arange(CELLS_CURVATURE) + 0.5) / CELLS_CURVATURE
    weight = _weight(x, y, grid, curvatures)
    weight *= np.exp(-0.5 * ((grid - target_c) / START_SD_C) ** 2)[:, None]
    weight *= np.exp(-0.5 * (curvatures / scale) ** 2)
    return grid, curvatures, weight / weight.sum()


def _weight(x: Floats, y: Floats, grid: Floats, curvatures: Floats) -> Floats:
    """How well each pair of temperature and curvature explains the marks; the largest is 1."""
    fall = (x[None, :] - grid[:, None]) ** 2
    fall -= fall.mean(axis=1, keepdims=True)
    rest = y - y.mean()
    cross, square = fall @ rest, np.sum(fall**2, axis=1)
    squares = float(rest @ rest) + 2 * cross[:, None] * curvatures
    squares += square[:, None] * curvatures**2
    squares = np.maximum(squares, 0)  # a perfect fit may come out a rounding below
    log = -(NOISE_DF + len(x) - 1) / 2 * np.log(NOISE_DF * NOISE_MARKS**2 + squares)
    weight: Floats = np.exp(log - log.max())
    return weight


def _quantiles(grid: Floats, belief: Floats, parts: Sequence[float]) -> list[float]:
    """Quantiles by the sum up to the middle of each cell; up to its end would shift them."""
    below = np.cumsum(belief) - belief / 2
    found: list[float] = np.interp(parts, below, grid).tolist()
    return found
