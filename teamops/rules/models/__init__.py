from teamops.rules.models.criterion import Criterion
from teamops.rules.models.rulebook import Rulebook

__all__ = ["Criterion", "Rulebook"]
