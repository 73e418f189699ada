"""The next contest: where our form would place against a chosen field, with what chances."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.special import bdtr, ndtr, ndtri, stdtrit

Floats = NDArray[np.float64]

NODES = 200  # values of our own total to integrate over
RANGE = (0.1, 0.9)


@dataclass(frozen=True, slots=True)
class Form:
    """
    What our next total may be: mean and standard deviation of so many contests.

    `contests` None means that mean and deviation are known as they stand. [points]
    """

    mean: float
    sd: float
    contests: int | None = None


@dataclass(frozen=True, slots=True)
class FieldShape:
    """A field's totals by their mean and standard deviation; `entries` counts ours too. [points]"""

    mean: float
    sd: float
    entries: int


@dataclass(frozen=True, slots=True)
class Outlook:
    """
    Where the next contest may place us.

    `expected` is the mean place, not rounded; `best` and `worst` hold it 8 times in 10. `chances`
    are those of each place, first to last, and add up to 1.
    """

    expected: float
    best: int
    worst: int
    chances: tuple[float, ...]

    @property
    def winning(self) -> float:
        """The chance of the first place."""
        return self.chances[0]

    def within(self, place: int) -> float:
        """The chance of this place or a better one."""
        return math.fsum(self.chances[: max(place, 0)])


def form(totals: Sequence[float]) -> Form | None:
    """Our form from past totals under the same rulebook; None from fewer than 3. [points]"""
    if len(totals) < 3:
        return None
    values = np.asarray(totals, dtype=np.float64)
    return Form(float(values.mean()), float(values.std(ddof=1)), len(totals))


def field_shape(totals: Sequence[float]) -> FieldShape | None:
    """A field like this one, with us in it besides; None from fewer than 3 totals. [points]"""
    if len(totals) < 3:
        return None
    values = np.asarray(totals, dtype=np.float64)
    return FieldShape(float(values.mean()), float(values.std(ddof=1)), len(totals) + 1)


def outlook(ours: Form, field: FieldShape, gain: float = 0.0) -> Outlook:
    """
    Our place against a normal field of independent totals. [points]

    Our own total is normal, or Student's t where the form stands on few contests, its mean's own
    doubt included. `gain` is what a change is expected to add: give the best guess, not the raw
    change. Places by the binomial distribution, integrated over our total to 5 digits. Refuses
    (ValueError) a field without a spread or of fewer than 2 entries, a deviation of ours below 0,
    and a form from fewer than 2 contests.
    """
    if not (field.sd > 0 and ours.sd >= 0 and field.entries > 1):
        raise ValueError(f"want a field with a spread and a rival, got {field} and {ours}")
    if ours.contests is not None and ours.contests < 2:
        raise ValueError("a form wants at least 2 contests")
    parts, weights = _nodes()
    ahead = ndtr((field.mean - gain - _quantiles(ours, parts)) / field.sd)  # a rival is above us
    others = field.entries - 1
    at_most = np.array([float(weights @ bdtr(k, others, ahead)) for k in range(others)] + [1.0])
    chances = np.diff(at_most, prepend=0.0)
    low, high = (int(np.searchsorted(at_most, part)) + 1 for part in RANGE)
    return Outlook(
        expected=1 + others * float(weights @ ahead),
        best=low,
        worst=high,
        chances=tuple(chances.tolist()),
    )


@lru_cache(maxsize=1)
def _nodes() -> tuple[Floats, Floats]:
    """Probabilities and weights of a Gauss-Legendre rule that is close-meshed at both ends."""
    at, weight = np.polynomial.legendre.leggauss(NODES)
    v = (at + 1) / 2
    weights = weight * 15 * (v * (1 - v)) ** 2
    return v**3 * (10 - 15 * v + 6 * v**2), weights / weights.sum()


def _quantiles(ours: Form, parts: Floats) -> Floats:
    """Our next total at these probabilities."""
    if ours.contests is None:
        normal: Floats = ours.mean + ours.sd * ndtri(parts)
        return normal
    wide = ours.sd * math.sqrt(1 + 1 / ours.contests)
    drawn: Floats = ours.mean + wide * stdtrit(ours.contests - 1, parts)
    return drawn
