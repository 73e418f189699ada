"""A place where only our own total and the winner's are known: a range, by two rough fields."""

import math
from dataclasses import dataclass

from scipy.special import ndtr, ndtri


@dataclass(frozen=True, slots=True)
class GuessedPlace:
    """
    The place that a gain would have been worth, by a bell-shaped field and by a straight line.

    The curve hopes too much where a field has a tail of poor entries, the line too little in the
    middle of a big even one. From two totals, usually 1 to 2 places off in fields up to 25. 1 is
    first; not rounded.
    """

    curve: float
    line: float

    @property
    def best(self) -> int:
        """The better end of the range, as a whole place."""
        return round(min(self.curve, self.line))

    @property
    def worst(self) -> int:
        """The worse end of the range, as a whole place."""
        return round(max(self.curve, self.line))


def normal_score(place: int, entries: int) -> float:
    """
    How far above the field's middle a place stands, in its standard deviations.

    Blom's approximation [1]_: the normal quantile of 1 - (r - 0.375) / (n + 0.25). Comparable
    between fields of different size. Refuses (ValueError) a place outside 1 to `entries`.

    References
    ----------
    .. [1] G. Blom, Statistical Estimates and Transformed Beta-Variables, Wiley, 1958.
    """
    if not 1 <= place <= entries:
        raise ValueError(f"want a place from 1 to {entries}, got {place}")
    return float(-ndtri((place - 0.375) / (entries + 0.25)))


def guessed_field(place: int, entries: int, own: float, winner: float) -> tuple[float, float]:
    """
    Mean and standard deviation of a normal field through our place and the winner's. [points]

    Refuses (ValueError) a first place, which gives but one point; and a winner not above us.
    """
    if place < 2:
        raise ValueError("the winner's place says nothing about the field below")
    if winner <= own:
        raise ValueError(f"the winner's total {winner} must be above ours, {own}")
    ours, first = normal_score(place, entries), normal_score(1, entries)
    sd = (winner - own) / (first - ours)
    return own - ours * sd, sd


def guess_place(place: int, entries: int, own: float, winner: float, gain: float) -> GuessedPlace:
    """
    What our place would have been with `gain` more, where only two totals are known. [points]

    Both ways give our own place back at a gain of nothing, and stay within 1 and `entries`.
    Refuses (ValueError) a first place (nothing to gain; to lose, the runner-up's total is wanted),
    a place outside the field, a winner's total that is not above ours, and what is no number.
    """
    if not math.isfinite(gain):
        raise ValueError(f"gain must be a number, got {gain}")
    mean, sd = guessed_field(place, entries, own, winner)
    passed = float(ndtr((own + gain - mean) / sd) - ndtr((own - mean) / sd))
    curve = place - (entries - 1) * passed
    line = place - (place - 1) * gain / (winner - own)
    return GuessedPlace(*(min(max(x, 1.0), float(entries)) for x in (curve, line)))
