"""How long steps really take: beta-PERT draws, classes of step, and what own logs teach."""

from collections.abc import Sequence
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from teamops.calc.timing.records import Spread, Step
from teamops.calc.timing.ticks import PER_MINUTE

Floats = NDArray[np.float64]
ENOUGH_LOGS = 5  # own runs from which the starter spread is no longer needed


class Pace(StrEnum):
    """What sort of step it is, where only one number was typed."""

    WAIT = "wait"  # a timer runs: marinate, rest
    PRESS = "press"  # on the grill by the clock
    HANDS = "hands"  # trim, season, box
    WALK = "walk"  # across the field with the box
    FIRE = "fire"


# shortest and longest as parts of the usual time: common practice, no source
PACES = {
    Pace.WAIT: (1.0, 1.0),
    Pace.PRESS: (1.0, 1.1),
    Pace.HANDS: (0.65, 1.7),
    Pace.WALK: (0.75, 2.5),
    Pace.FIRE: (0.9, 1.5),
}


def usual_spread(minutes: float, pace: Pace) -> Spread:
    """The spread of a step known by one number and its sort; refuses (ValueError) one below 0."""
    low, high = PACES[pace]
    return Spread(minutes * low, minutes, minutes * high)


def learned_spread(starter: Spread, logged: Sequence[float]) -> Spread:
    """
    The spread after own runs: more of them, less of the starter. [min]

    The usual time is the median of the logs, the ends their least and most; with fewer than
    5 logs each is mixed with the starter's by the number of logs out of 5. Refuses (ValueError)
    logged minutes that are not finite or below 0.
    """
    if not logged:
        return starter
    runs = np.asarray(logged, dtype=np.float64)
    if not np.isfinite(runs).all() or (runs < 0).any():
        raise ValueError("logged minutes must be 0 or more")
    own = min(len(runs), ENOUGH_LOGS) / ENOUGH_LOGS
    low, likely, high = (
        own * float(seen) + (1 - own) * before
        for seen, before in (
            (runs.min(), starter.low),
            (np.median(runs), starter.likely),
            (runs.max(), starter.high),
        )
    )
    return Spread(min(low, likely), likely, max(likely, high))


def draw(spread: Spread, size: int, rng: np.random.Generator) -> Floats:
    """
    Durations from the beta-PERT distribution, shape (size,). [min]

    A beta on [a, b] with α = 1 + 4(m - a)/(b - a) and β = 1 + 4(b - m)/(b - a): its mean is
    (a + 4m + b)/6, its variance (μ - a)(b - μ)/7. No draw is made for a step without a spread.
    Refuses (ValueError) a size below 1.
    """
    if size < 1:
        raise ValueError(f"want at least 1 draw, got {size}")
    wide = spread.high - spread.low
    if wide <= 0:
        return np.full(size, spread.likely)
    alpha = 1 + 4 * (spread.likely - spread.low) / wide
    beta = 1 + 4 * (spread.high - spread.likely) / wide
    drawn: Floats = spread.low + wide * rng.beta(alpha, beta, size)
    return drawn


def draw_steps(
    steps: Sequence[Step], size: int, rng: np.random.Generator, bad_day: float = 1.0
) -> Floats:
    """
    Durations of all steps, independent of each other, shape (steps, size). [ticks]

    `bad_day` multiplies every step that has a spread (rain, a cold grill: 1.15, 1.3); a wait by
    the timer stays. Refuses (ValueError) a multiplier that is not above 0.
    """
    if not 0 < bad_day < float("inf"):
        raise ValueError(f"the multiplier must be above 0, got {bad_day}")
    rows = []
    for step in steps:
        spread = step.spread
        if spread is None:
            rows.append(np.full(size, float(step.ticks)))
        elif spread.high <= spread.low:
            rows.append(np.full(size, spread.likely * PER_MINUTE))
        else:
            rows.append(draw(spread, size, rng) * PER_MINUTE * bad_day)
    return np.array(rows)
