"""How many contests a change needs to be told, and when to turn it on and off."""

import math
from collections.abc import Callable

import numpy as np
from scipy.special import nctdtr, stdtrit

POWER = 0.8
ALPHA = 0.05
MOST_CONTESTS = 200  # [a side] beyond that no team gets


def contests_needed(gain: float, swing: float) -> int | None:
    """
    Contests wanted on each side for an 80 % chance that a change of `gain` comes out clear.

    `swing` is the standard deviation of a contest's own average within a side; the test is the
    two-sided t test at 5 % on 2n - 2 degrees of freedom, its power by the noncentral t
    distribution. None where 200 a side are not enough. Refuses (ValueError) a swing that is not
    above 0. [gain and swing in one unit]
    """
    return _first(gain, swing, lambda n: (n, n), 2, MOST_CONTESTS)


def still_needed(gain: float, swing: float, without: int, with_it: int) -> tuple[int, int] | None:
    """
    How many more contests without and with the change, for the chance of `contests_needed`.

    Each is put where the fewer are, which tells most. (0, 0) where there are enough; None where 200
    more are not enough. Refuses (ValueError) counts below 0 and a swing that is not above 0.
    """
    if min(without, with_it) < 0:
        raise ValueError(f"counts must be 0 or more, got {without} and {with_it}")
    more = _first(gain, swing, lambda n: _filled(without, with_it, n), 0, MOST_CONTESTS)
    if more is None:
        return None
    off, on = _filled(without, with_it, more)
    return off - without, on - with_it


def on_off_plan(
    contests: int, without: int, with_it: int, rng: np.random.Generator
) -> tuple[bool, ...]:
    """
    Whether to use the change at each of the coming contests, in their order.

    Two by two, one of each pair with it, which of the two by lot: a change switched on once is
    mixed up with season, judges and practice, and a strict every-other-time can fall in step with
    something else. An odd last contest goes to the side with fewer so far (`without`, `with_it`),
    by lot where they are equal. Refuses (ValueError) counts below 0.
    """
    if min(contests, without, with_it) < 0:
        raise ValueError("counts must be 0 or more")
    plan: list[bool] = []
    for _ in range(contests // 2):
        first = bool(rng.integers(2))
        plan += [first, not first]
    if contests % 2:
        even = without == with_it
        plan.append(bool(rng.integers(2)) if even else with_it < without)
    return tuple(plan)


def _first(
    gain: float, swing: float, sides: Callable[[int], tuple[int, int]], start: int, stop: int
) -> int | None:
    if not swing > 0:
        raise ValueError(f"swing must be above 0, got {swing}")
    return next(
        (n for n in range(start, stop + 1) if _power(gain, swing, *sides(n)) >= POWER), None
    )


def _power(gain: float, swing: float, without: int, with_it: int) -> float:
    """The chance that a true change of `gain` comes out as clear, in its own direction."""
    if min(without, with_it) < 2:
        return 0.0
    df = without + with_it - 2
    shift = abs(gain) / (swing * math.sqrt(1 / without + 1 / with_it))
    return 1 - float(nctdtr(df, shift, stdtrit(df, 1 - ALPHA / 2)))


def _filled(without: int, with_it: int, more: int) -> tuple[int, int]:
    """Both counts after so many more, each on the smaller side; a new one first where equal."""
    larger, smaller = max(without, with_it), min(without, with_it)
    gap = larger - smaller
    if more <= gap:
        smaller += more
    else:
        rest = more - gap
        smaller, larger = larger + (rest + 1) // 2, larger + rest // 2
    return (smaller, larger) if without < with_it else (larger, smaller)
