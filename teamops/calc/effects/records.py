"""What a comparison of contests with and without a change comes to."""

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from math import comb

LUCK = Fraction(1, 20)  # where a perfect split is likelier by luck than this, nothing is clear


class Verdict(StrEnum):
    """What can be said about a change."""

    NO_COMPARISON = "no_comparison"  # fewer than two contests on a side
    CANT_TELL = "cant_tell"
    LEANING = "leaning"  # the 80 % interval is all on one side of nothing
    CLEAR = "clear"  # so is the 95 % one, after Holm's correction over the criteria


@dataclass(frozen=True, slots=True)
class Span:
    """An interval, its ends in the unit of what it is about."""

    low: float
    high: float

    @property
    def half(self) -> float:
        """Half its width."""
        return (self.high - self.low) / 2


@dataclass(frozen=True, slots=True)
class Effect:
    """
    One criterion's change, or that of all together: with the change less without it.

    `without` and `with_it` average contests, None where a side has none. The rest is None where
    there is no comparison: `change` with its standard `error` on `df` degrees of freedom (not
    always whole), the 80 and 95 % intervals, `p` two-sided, and after Holm's correction
    (`p_holm`, for criteria only). `swing` is the standard deviation of a contest's own average.
    `guess` is the change drawn toward nothing as far as the swings ask for: for advice, never to
    be shown as the middle of the intervals. [marks, or what was given]
    """

    key: str
    name: str
    verdict: Verdict
    without: float | None
    with_it: float | None
    change: float | None = None
    error: float | None = None
    df: float | None = None
    span_80: Span | None = None
    span_95: Span | None = None
    p: float | None = None
    p_holm: float | None = None
    swing: float | None = None
    guess: float | None = None


@dataclass(frozen=True, slots=True)
class ChangeEffect:
    """
    The change in all criteria together and in each, in print order.

    `without` and `with_it` count contests, `left_out` those where a criterion has no mark at all.
    `keep_level` and `keep_profile` (0 to 1) tell how much of the overall change, and of the
    criteria's departures from it, the best guesses believe. `crowded` are the keys of criteria
    with so many marks at the top that an improvement could hardly show. Where the scales differ
    (`alike` is False) the overall numbers are parts of the scale, 0 its least mark and 1 its most.
    """

    overall: Effect
    lines: tuple[Effect, ...]
    without: int
    with_it: int
    left_out: int
    alike: bool
    crowded: tuple[str, ...]
    keep_level: float | None = None
    keep_profile: float | None = None

    @property
    def luck(self) -> Fraction:
        """How often luck alone splits these contests perfectly, in one direction; 1 if always."""
        return luck_bound(self.without, self.with_it)

    def line(self, key: str) -> Effect:
        """The effect on this criterion; KeyError if there is none."""
        for line in self.lines:
            if line.key == key:
                return line
        raise KeyError(key)


def luck_bound(without: int, with_it: int) -> Fraction:
    """
    The chance that all of one side beat all of the other by luck alone: 1 / C(n0 + n1, n1).

    No test on so many contests can give a smaller one-sided p by order alone. Refuses (ValueError)
    counts below 0.
    """
    if min(without, with_it) < 0:
        raise ValueError(f"counts must be 0 or more, got {without} and {with_it}")
    return Fraction(1, comb(without + with_it, with_it))
