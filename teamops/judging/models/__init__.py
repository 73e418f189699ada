from teamops.judging.models.change import Change
from teamops.judging.models.result import CriterionResult, Result
from teamops.judging.models.sheet import Mark, ScoreSheet

__all__ = ["Change", "CriterionResult", "Mark", "Result", "ScoreSheet"]
