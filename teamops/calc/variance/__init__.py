"""How much of the swing in our marks is the judges, the day, the criterion, and the rest."""

from teamops.calc.variance.ranges import SwingRanges
from teamops.calc.variance.shares import SwingShares, swing_ranges, swing_shares
from teamops.calc.variance.squares import Squares, sums_of_squares
from teamops.calc.variance.wording import luck_share_sentence, whole_percents

__all__ = [
    "Squares",
    "SwingRanges",
    "SwingShares",
    "luck_share_sentence",
    "sums_of_squares",
    "swing_ranges",
    "swing_shares",
    "whole_percents",
]
