"""Numbers and lists as a cook would say them."""

from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal

NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
FOUR_PLACES = Decimal("0.0001")


def plain(value: Decimal) -> str:
    """A number without trailing zeros or exponent: 180, 167.44."""
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def brief(value: Decimal) -> str:
    """A number for a sentence: plain, and rounded half up to four places."""
    return plain(value.quantize(FOUR_PLACES, ROUND_HALF_UP))


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


def ordinal(number: int) -> str:
    """A place as one says it: 1st, 2nd, 3rd, 4th, 11th."""
    teen = 10 <= number % 100 <= 20
    return f"{number}{'th' if teen else {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th')}"
