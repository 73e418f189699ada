"""A category’s field as an organiser posted it: its order, ties, corrections and spread."""

from teamops.calc.field.compare import Difference, Differences, compare
from teamops.calc.field.order import stand
from teamops.calc.field.records import Entrant, Stand, Standing
from teamops.calc.field.spread import spread_words

__all__ = [
    "Difference",
    "Differences",
    "Entrant",
    "Stand",
    "Standing",
    "compare",
    "spread_words",
    "stand",
]
