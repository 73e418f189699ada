"""Numbers, steps and lists as a cook would say them."""

from collections.abc import Sequence
from decimal import Decimal

from teamops.calc.scoring.rules import EXACT, Rules

NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
FOUR_PLACES = Decimal("0.0001")
STEPS = {
    Decimal("1"): "whole marks",
    Decimal("0.5"): "half marks",
    Decimal("0.25"): "quarter marks",
    Decimal("0.1"): "tenths of a mark",
}


def plain(value: Decimal) -> str:
    """A number without trailing zeros or exponent: 180, 167.44."""
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def brief(value: Decimal) -> str:
    """A number for a sentence: plain, and rounded half up to four places."""
    return plain(EXACT.quantize(value, FOUR_PLACES))


def number_word(count: int) -> str:
    """Small counts in words, larger ones in digits."""
    return NUMBERS[count] if 0 <= count < len(NUMBERS) else str(count)


def count_of(count: int, noun: str) -> str:
    """A count with its noun: one sheet, five sheets."""
    return f"{number_word(count)} {noun}{'' if count == 1 else 's'}"


def list_words(words: Sequence[str]) -> str:
    """A list as one says it: a, b and c."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def opening(text: str) -> str:
    """The text with a capital first letter, the rest untouched."""
    return text[:1].upper() + text[1:]


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
