"""What a cell says: money, temperatures, places and marks as people write them."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache

from teamops.calc.reading import plain_words
from teamops.calc.reading.numbers import mark_of, number_in, out_in, place_in
from teamops.calc.units import f_to_c
from teamops.contests.models import Contest, Entry
from teamops.judging.imports.days import ISO, Unread
from teamops.judging.imports.fields import UNIT
from teamops.judging.paper import BLANK, LONGEST, NOTHING, NUMBER, PaperMark, read_paper

PLACED = re.compile(r"(.+?)\s*(?:/|of|out of|von)\s*(\d{1,5})", re.IGNORECASE)
CURRENCY = re.compile(r"[$€£¥]|\b[A-Z]{3}\b|\bCHF\b")
BARE_FORMULA = (
    "this is a formula without its value: open the file in your spreadsheet, save it, and bring it "
    "again"
)
LARGEST_TOTAL, LARGEST_MONEY, LARGEST_COUNT = Decimal(10) ** 6, Decimal(10) ** 7, 32_767
COLDEST_C, HOTTEST_C, LARGEST_F = Decimal(-100), Decimal(900), Decimal(2000)
YES = ("yes", "y", "x", "true", "1", "dq", "dsq", "disqualified", "ja")
NO = ("no", "n", "false", "0", "-", "nein")
STATES = {plain_words(label): value for value, label in Contest.State.choices} | {
    "waitlist": Contest.State.WAIT_LIST,
    "wait list": Contest.State.WAIT_LIST,
    "waiting list": Contest.State.WAIT_LIST,
    "canceled": Contest.State.CANCELLED,
    "done": Contest.State.COOKED,
    "completed": Contest.State.COOKED,
    "complete": Contest.State.COOKED,
    "finished": Contest.State.COOKED,
    "planned": Contest.State.CONSIDERING,
    "registered": Contest.State.ENTERED,
    "confirmed": Contest.State.ACCEPTED,
}
SEEN = {
    "under": Entry.Doneness.UNDER, "underdone": Entry.Doneness.UNDER,
    "undercooked": Entry.Doneness.UNDER, "u": Entry.Doneness.UNDER,
    "under done": Entry.Doneness.UNDER,
    "right": Entry.Doneness.RIGHT, "spot on": Entry.Doneness.RIGHT, "ok": Entry.Doneness.RIGHT,
    "perfect": Entry.Doneness.RIGHT, "on": Entry.Doneness.RIGHT, "r": Entry.Doneness.RIGHT,
    "over": Entry.Doneness.OVER, "overdone": Entry.Doneness.OVER, "over done": Entry.Doneness.OVER,
    "overcooked": Entry.Doneness.OVER, "o": Entry.Doneness.OVER,
}  # fmt: skip
WHAT_BECAME = {
    "withdrawn": Entry.State.WITHDRAWN,
    "did not turn in": Entry.State.NOT_TURNED_IN,
    "did not start": Entry.State.NOT_TURNED_IN,
    "did not compete": Entry.State.NOT_TURNED_IN,
    "did not finish": Entry.State.NOT_TURNED_IN,
}


@dataclass(frozen=True, slots=True)
class Placed:
    """What a cell for the placing says: a place, of how many, shared; or why there is none."""

    place: int | None = None
    shared: bool = False
    of: int | None = None
    out: str = ""


def number(text: str, decimal: str, expected: str) -> Decimal:
    """A number; a formula and words are refused with what was expected."""
    value = number_in(text, decimal)
    if value is None:
        raise Unread(f"{expected}; {BARE_FORMULA}" if text.startswith("=") else expected)
    return value


def total_in(text: str, decimal: str) -> Decimal:
    """A total, to four places."""
    value = number(text, decimal, "a total such as 182.5")
    if abs(value) >= LARGEST_TOTAL:
        raise Unread("a total below a million")
    return value.quantize(Decimal("0.0001"), ROUND_HALF_UP)


def money_in(text: str, decimal: str) -> Decimal:
    """An amount in the team's currency, to the cent."""
    value = number(CURRENCY.sub("", text).strip(), decimal, "an amount such as 150 or 150.00")
    if not 0 <= value < LARGEST_MONEY:
        raise Unread("an amount that is not negative")
    return value.quantize(Decimal("0.01"), ROUND_HALF_UP)


def temperature_in(text: str, decimal: str, unit: str) -> Decimal:
    """A temperature of the meat; `unit` holds where the cell itself says none. [°C]"""
    expected = "a temperature such as 131 °F or 55 °C"
    found = UNIT.search(text) if re.search(r"\d", text) else None
    if found:
        text, unit = text[: found.start()], found[1].casefold()
    value = number(text.replace("°", "").strip(), decimal, expected)
    if abs(value) >= LARGEST_F:
        raise Unread(expected)
    celsius = f_to_c(value) if unit == "f" else value.quantize(Decimal("0.0001"), ROUND_HALF_UP)
    if not COLDEST_C < celsius < HOTTEST_C:
        raise Unread(expected)
    return celsius


def count_in(text: str) -> int:
    """How many, at least one."""
    value = number_in(text)
    if value is None or value != value.to_integral_value() or not 1 <= value <= LARGEST_COUNT:
        raise Unread("a whole number such as 25")
    return int(value)


def placed_in(text: str) -> Placed:
    """A place (3, 3rd, T-3, 3/25, 3 of 25), or why there is none (DQ, did not turn in)."""
    out = out_in(text)
    if out:
        return Placed(out=out)
    of = None
    both = PLACED.fullmatch(text.strip())
    if both and place_in(both[1]):
        text, of = both[1], count_in(both[2])
    place = place_in(text)
    if place is None or place.place > LARGEST_COUNT:
        raise Unread("a place such as 3, 3rd or T-3")
    return Placed(place.place, place.shared, of)


def is_place(text: str) -> bool:
    """Whether a cell says a placing, or why there is none."""
    try:
        placed_in(text)
    except Unread:
        return False
    return True


def state_in(text: str) -> str:
    state = STATES.get(plain_words(text))
    if state is None:
        raise Unread("cooked, entered, paid, withdrawn or the like")
    return str(state)


def seen_in(text: str) -> str:
    seen = SEEN.get(plain_words(text))
    if seen is None:
        raise Unread("under, right or over")
    return str(seen)


def yes_in(text: str) -> bool:
    words = plain_words(text)
    if words in YES:
        return True
    if words in NO:
        return False
    raise Unread("yes or no")


@lru_cache(maxsize=16_384)
def mark_in(text: str) -> PaperMark:
    """A mark as the paper has it: odd ones are kept, only what is no mark at all is refused."""
    text = " ".join(text.split())
    mark = read_paper(text)
    if mark.points is not None and len(mark.said) <= LONGEST:
        return mark
    if not text:
        return BLANK
    if text.startswith("="):
        raise Unread(f"a mark such as 8 or 8.5; {BARE_FORMULA}")
    odd = out_in(text) or NOTHING.fullmatch(text) or re.search(r"\d", text)
    is_day = ISO.fullmatch(text) is not None
    too_long = NUMBER.fullmatch(text) is not None
    if not odd or is_day or too_long or text.startswith("#") or len(text) > LONGEST:
        raise Unread("a mark such as 8 or 8.5")
    return mark


def decimal_of(cells: Iterable[str]) -> str:
    """The sign before the decimals in these numbers."""
    return mark_of([cell for cell in cells if cell and not out_in(cell)])


def shorten(text: str, longest: int) -> str:
    """Text without doubled spaces, refused where it is longer than can be kept."""
    text = " ".join(text.split())
    if len(text) > longest:
        raise Unread(f"at most {longest} characters")
    return text
