"""What a table of marks totals under a rulebook, and who wins the tie; exact decimals throughout.

Worked with 60 digits, told to 24 decimal places, rounded half up there; no binary float gets in.
"""

from teamops.calc.scoring.flags import flag_mark
from teamops.calc.scoring.lateness import Lateness, LateOutcome, LateRule, late_outcome
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
    Rounds,
    RoundWhere,
    Rules,
    exact_sum,
    round_total,
)
from teamops.calc.scoring.ties import Contender, EntryStatus, Place, StepShown, rank, tie_steps
from teamops.calc.scoring.totals import score
from teamops.calc.scoring.twin import Tie, show_tie
from teamops.calc.scoring.words import describe_step, step_name, step_words
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
    "LateOutcome",
    "LateRule",
    "Lateness",
    "MissingSheet",
    "Panel",
    "Place",
    "PlaceMethod",
    "Result",
    "RoundWhere",
    "Rounds",
    "Rules",
    "Sheet",
    "SheetResult",
    "Standing",
    "StepShown",
    "Tie",
    "describe_step",
    "exact_sum",
    "flag_mark",
    "late_outcome",
    "list_words",
    "number_word",
    "plain",
    "rank",
    "round_total",
    "score",
    "show_tie",
    "step_name",
    "step_words",
    "tie_steps",
]
