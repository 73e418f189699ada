"""Steps and tie-breaks as a cook would say them."""

from decimal import Decimal

from teamops.calc.scoring.rules import Rules
from teamops.calc.words import plain

STEPS = {
    Decimal("1"): "whole marks",
    Decimal("0.5"): "half marks",
    Decimal("0.25"): "quarter marks",
    Decimal("0.1"): "tenths of a mark",
}


def step_words(step: Decimal) -> str:
    """What a scale's step is called."""
    return STEPS.get(step.normalize(), f"steps of {plain(step)}")


def describe_step(step: str, rules: Rules) -> str:
    """A tie-break step as a cook would say it."""
    match step.split(":"):
        case ["sum", key, "kept"]:
            return f"{rules.by_key[key].name} marks on the sheets that count"
        case ["sum", key, "all"]:
            return f"{rules.by_key[key].name} marks on all sheets"
        case ["count_of", mark, *_]:
            return f"the number of {mark}s"
        case ["dropped_total"]:
            return "the sheets that do not count"
        case ["head_judge"]:
            return "the head judge's sheet"
        case ["draw"]:
            return "a draw"
    return "nothing: the place is shared"
