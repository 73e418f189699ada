"""From a change and its noise to intervals, chances and a verdict."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self

from scipy.special import stdtr, stdtrit

from teamops.calc.effects.records import LUCK, Effect, Span, Verdict, luck_bound

LIKELY, WIDE = 0.80, 0.95
ALPHA = 0.05


@dataclass(frozen=True, slots=True)
class Sides:
    """
    The averages without a change and with it, and how many contests stand behind each.

    An average is None where its side has no contest. [marks]
    """

    without: float | None
    with_it: float | None
    counts: tuple[int, int]


@dataclass(frozen=True, slots=True)
class Noise:
    """
    How sure a change is: its standard `error` on `df` degrees of freedom, with half intervals.

    `swing` is the standard deviation of a contest's own average. All but `df` in one unit.
    """

    swing: float
    error: float
    df: float
    half_80: float
    half_95: float

    @classmethod
    def of(cls, variance: float, df: float, counts: tuple[int, int]) -> Self:
        """The noise of a difference of two averages of contests of this `variance`."""
        error = math.sqrt(variance * (1 / counts[0] + 1 / counts[1]))
        low, wide = (float(stdtrit(df, (1 + part) / 2)) for part in (LIKELY, WIDE))
        return cls(math.sqrt(variance), error, df, low * error, wide * error)

    def p(self, change: float) -> float:
        """The two-sided p of a change, by Student's t."""
        return float(2 * stdtr(self.df, -abs(change) / self.error))


def uncompared(key: str, name: str, sides: Sides) -> Effect:
    """Averages with nothing concluded."""
    return Effect(key, name, Verdict.NO_COMPARISON, sides.without, sides.with_it)


def compared(
    key: str,
    name: str,
    sides: Sides,
    change: float,
    noise: Noise,
    *,
    unit: float = 1,
    p_holm: float | None = None,
    guess: float | None = None,
) -> Effect:
    """
    The effect with its intervals and verdict.

    `change`, `noise` and `guess` are multiplied by `unit`; `p_holm`, where given, is what must be
    small for a clear one.
    """
    p = noise.p(change)
    verdict = Verdict.CANT_TELL
    if p < 1 - LIKELY:
        sure = (p if p_holm is None else p_holm) < ALPHA
        verdict = Verdict.CLEAR if sure and luck_bound(*sides.counts) <= LUCK else Verdict.LEANING
    return Effect(
        key=key,
        name=name,
        verdict=verdict,
        without=sides.without,
        with_it=sides.with_it,
        change=unit * change,
        error=unit * noise.error,
        df=noise.df,
        span_80=Span(unit * (change - noise.half_80), unit * (change + noise.half_80)),
        span_95=Span(unit * (change - noise.half_95), unit * (change + noise.half_95)),
        p=p,
        p_holm=p_holm,
        swing=unit * noise.swing,
        guess=None if guess is None else unit * guess,
    )


def satterthwaite(*parts: tuple[float, float]) -> float:
    """Degrees of freedom of a sum of variances, each given with its own; 0 ones add nothing."""
    total = sum(variance for variance, _ in parts)
    return total**2 / sum(variance**2 / df for variance, df in parts if variance)


def holm(p_values: Sequence[float]) -> list[float]:
    """Holm's adjusted p values, in the order given; each holds with all the others beside it."""
    adjusted, least = [0.0] * len(p_values), 0.0
    for place, index in enumerate(sorted(range(len(p_values)), key=lambda i: p_values[i])):
        least = max(least, min(1.0, (len(p_values) - place) * p_values[index]))
        adjusted[index] = least
    return adjusted
