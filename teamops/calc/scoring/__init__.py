"""What a table of marks totals under a rulebook, and who wins the tie; exact decimals throughout.

Worked with 60 digits, told to 24 decimal places, rounded half up there; no binary float gets in.
"""

from teamops.calc.scoring.flags import flag_mark
from teamops.calc.scoring.records import (
    CriterionResult,
    Flag,
    FlagKind,
    Result,
    Sheet,
    SheetResult,
    Standing,
)
from teamops.calc.scoring.rules import (
    Aggregate,
    Criterion,
    Direction,
    DropScope,
    MissingSheet,
    Panel,
    PlaceMethod,
    RoundWhere,
    Rules,
    exact_sum,
)
from teamops.calc.scoring.ties import Contender, EntryStatus, Place, rank
from teamops.calc.scoring.totals import score
from teamops.calc.scoring.words import describe_step
from teamops.calc.words import list_words, number_word, plain

__all__ = [
    "Aggregate",
    "Contender",
    "Criterion",
    "CriterionResult",
    "Direction",
    "DropScope",
    "EntryStatus",
    "Flag",
    "FlagKind",
    "MissingSheet",
    "Panel",
    "Place",
    "PlaceMethod",
    "Result",
    "RoundWhere",
    "Rules",
    "Sheet",
    "SheetResult",
    "Standing",
    "describe_step",
    "exact_sum",
    "flag_mark",
    "list_words",
    "number_word",
    "plain",
    "rank",
    "score",
]
