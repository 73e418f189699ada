"""Weights as the team types them: pounds to 3 places, kilograms to 6, kept in kilograms."""

from decimal import Decimal

from teamops.calc.units import MILLIGRAM, kg_to_pounds, pounds_to_kg
from teamops.teams.models import Team


def weight_to_kg(typed: Decimal, units: str) -> Decimal:
    """What is stored of a typed weight, to the milligram. [lb or kg] -> [kg]"""
    return pounds_to_kg(typed) if units == Team.Units.US else typed.quantize(MILLIGRAM)


def kg_to_weight(kg: Decimal, units: str) -> Decimal:
    """A stored weight as it was typed. [kg] -> [lb or kg]"""
    return kg_to_pounds(kg) if units == Team.Units.US else kg
