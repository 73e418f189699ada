"""Amounts as one says them."""

from decimal import Decimal

from teamops.calc.demand import MEASURED_UNITS
from teamops.calc.words import plain

EACH = "each"
WHOLE_WORDS = frozenset({"cup", "yard"})  # measures that are said in full: 3 yards, but 3 lb


def say_amount(amount: Decimal, unit: str) -> str:
    """An amount with its unit: 4, 2.5 lb, 6 pairs, 1 roll."""
    number = plain(amount)
    if unit == EACH:
        return number
    return f"{number} {unit if amount == 1 else _several(unit)}"


def _several(unit: str) -> str:
    if unit in MEASURED_UNITS - WHOLE_WORDS or not unit.isascii() or not unit[-1:].isalpha():
        return unit
    if unit.endswith("y") and unit[-2:-1] not in "aeiou":
        return f"{unit[:-1]}ies"
    return unit + ("es" if unit.endswith(("s", "x", "ch", "sh")) else "s")
