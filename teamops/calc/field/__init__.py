"""A category’s field as an organiser posted it: its order, ties, corrections and spread."""

from teamops.calc.field.compare import Difference, Differences, compare
from teamops.calc.field.order import stand
from teamops.calc.field.records import Entrant, Stand, Standing
from teamops.calc.field.spread import spread_words
from teamops.calc.field.tables import AtTable, at_table, table_words

__all__ = [
    "AtTable",
    "Difference",
    "Differences",
    "Entrant",
    "Stand",
    "Standing",
    "at_table",
    "compare",
    "spread_words",
    "stand",
    "table_words",
]
