from teamops.judging.models.change import Change, ChangeUse
from teamops.judging.models.debrief import Debrief, OpenPoint
from teamops.judging.models.field import Correction, FieldLine, Posting
from teamops.judging.models.result import CriterionResult, Result
from teamops.judging.models.sheet import CriterionTotal, Mark, ScoreSheet

__all__ = [
    "Change",
    "ChangeUse",
    "Correction",
    "CriterionResult",
    "CriterionTotal",
    "Debrief",
    "FieldLine",
    "Mark",
    "OpenPoint",
    "Posting",
    "Result",
    "ScoreSheet",
]
