from teamops.rules.models.rulebook import Criterion, Rulebook

__all__ = ["Criterion", "Rulebook"]
