"""Steps and tie-breaks as a cook would say them."""

from collections.abc import Mapping
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
    return step_name(step, {key: criterion.name for key, criterion in rules.by_key.items()})


def step_name(step: str, names: Mapping[str, str]) -> str:
    """A tie-break step as a cook would say it, criteria named by their keys."""
    match step.split(":"):
        case ["sum", key, "kept"]:
            return f"{names[key]} marks on the sheets that count"
        case ["sum", key, "all"]:
            return f"{names[key]} marks on all sheets"
        case ["count_of", mark, "all"]:
            return f"the number of {mark}s on all sheets"
        case ["count_of", mark, *_]:
            return f"the number of {mark}s"
        case ["dropped_total"]:
            return "the sheets that do not count"
        case ["head_judge"]:
            return "the head judge's sheet"
        case ["draw"]:
            return "a draw"
    return "nothing: the place is shared"
