"""What each column means, by its heading and by what stands in it."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from itertools import pairwise

from teamops.calc.reading.numbers import mark_of, number_in, out_in, place_in
from teamops.calc.reading.records import ONCE, Column, Meaning, Sure
from teamops.calc.reading.vocabulary import meaning_of, plain_words

MOSTLY = 0.7
NUMERIC = (Meaning.PLACE, Meaning.PART, Meaning.TOTAL)


@dataclass  # without slots, which leave no room for what is worked out once
class Look:
    """A column as it looks: its heading, its cells, and what can be read from them."""

    index: int
    heading: str
    cells: list[str]

    @cached_property
    def said(self) -> list[str]:
        return [cell for cell in self.cells if cell and not out_in(cell)]

    @cached_property
    def mark(self) -> str:
        return mark_of(self.said)

    @cached_property
    def numbers(self) -> list[Decimal]:
        found = (number_in(cell, self.mark) for cell in self.said)
        return [number for number in found if number is not None]

    @property
    def is_numeric(self) -> bool:
        return bool(self.said) and len(self.numbers) >= MOSTLY * len(self.said)

    @property
    def is_words(self) -> bool:
        letters = [cell for cell in self.said if re.search(r"[^\W\d]{2}", cell)]
        worded = [cell for cell in letters if not place_in(cell)]  # “1st” is none
        return bool(worded) and len(worded) >= 0.5 * len(self.said) and not self.is_numeric

    @cached_property
    def is_places(self) -> bool:
        """Places in order, best first, or with endings that only places have."""
        places = [place_in(cell) for cell in self.said]
        found = [place.place for place in places if place]
        if not found or len(found) < MOSTLY * len(self.said):
            return False
        ends = [cell for cell in self.said if re.search(r"\d(?:st|nd|rd|th)|[t=]\W?\d", cell, re.I)]
        if len(ends) >= 0.3 * len(self.said):
            return True
        widest = max(3, len(found) // 4)
        # a second list in the same paste starts at 1 again
        follow = all(b == 1 or 0 <= b - a <= widest for a, b in pairwise(found))
        return found[0] == 1 and follow

    @property
    def is_ordered(self) -> bool:
        """Numbers that only fall, or only rise, down the list."""
        pairs = list(pairwise(self.numbers))
        wrong = min(sum(a < b for a, b in pairs), sum(a > b for a, b in pairs))
        return len(pairs) > 1 and wrong <= len(pairs) // 10

    @property
    def are_distinct(self) -> bool:
        return len(set(self.said)) >= 0.9 * len(self.said) and len(self.said) > 1

    @property
    def are_whole(self) -> bool:
        return all(number == number.to_integral_value() for number in self.numbers)


def guess(
    rows: Sequence[Sequence[str]], headings: Sequence[str], criteria: frozenset[str] = frozenset()
) -> tuple[Column, ...]:
    """The columns of these rows; `headings` are as printed, empty where there are none."""
    looks = [
        Look(index, heading, [row[index] for row in rows]) for index, heading in enumerate(headings)
    ]
    found: dict[int, tuple[Meaning, Sure]] = {}
    for look in looks:
        said = _by_heading(look, criteria)
        if said:
            found[look.index] = said
    for meaning in ONCE:  # “Score” over several columns: the last is the total
        same = [index for index, (other, _) in found.items() if other is meaning]
        for index in same[:-1] if meaning is Meaning.TOTAL else same[1:]:
            found[index] = (
                (Meaning.PART, Sure.GUESS)
                if looks[index].is_numeric
                else (Meaning.NOTE, Sure.GUESS)
            )
    for index, meaning, sure in _by_look(looks, found):
        found[index] = (meaning, sure)
    names = _once_each([look.heading or f"column {look.index + 1}" for look in looks])
    return tuple(
        Column(name, *found[look.index], look.mark) for name, look in zip(names, looks, strict=True)
    )


def _once_each(headings: Sequence[str]) -> list[str]:
    """The headings, a second “Judge” as “Judge 2”."""
    names: list[str] = []
    for heading in headings:
        name, times = heading, 1
        while name in names:
            times += 1
            name = f"{heading} {times}"
        names.append(name)
    return names


def _by_heading(look: Look, criteria: frozenset[str]) -> tuple[Meaning, Sure] | None:
    meaning = meaning_of(look.heading, criteria)
    words = plain_words(look.heading)
    if meaning is None:
        return None
    if words in ("#", "no", "number", "entry", "id") and not look.is_words:
        meaning = Meaning.PLACE if look.is_places else Meaning.NUMBER
    if meaning in NUMERIC and look.is_words:
        return (Meaning.NOTE, Sure.GUESS)
    if meaning in (Meaning.NAME, Meaning.COOK) and look.is_numeric:
        return (Meaning.NUMBER, Sure.LIKELY)
    return (meaning, Sure.SURE if look.said else Sure.LIKELY)


def _by_look(
    looks: Sequence[Look], found: dict[int, tuple[Meaning, Sure]]
) -> Iterator[tuple[int, Meaning, Sure]]:
    """What the columns without a telling heading are, the surest first."""
    known = {meaning for meaning, _ in found.values()}
    free = [look for look in looks if look.index not in found]
    for meaning, choose in (
        (Meaning.PLACE, _place_of),
        (Meaning.NAME, _name_of),
        (Meaning.TOTAL, _total_of),
        (Meaning.NUMBER, _number_of),
    ):
        look, sure = choose(free) if meaning not in known else (None, Sure.GUESS)
        if look:
            free.remove(look)
            yield look.index, meaning, sure
    for look in free:
        yield look.index, _rest(look), Sure.GUESS


def _rest(look: Look) -> Meaning:
    """Further numbers are parts, full columns of words the cooks, the rest notes."""
    if look.is_numeric:
        return Meaning.PART
    full = look.is_words and len(look.said) >= MOSTLY * len(look.cells)
    return Meaning.COOK if full and look.index else Meaning.NOTE


def _place_of(free: Sequence[Look]) -> tuple[Look | None, Sure]:
    look = next((look for look in free if look.is_places and look.are_whole), None)
    return look, Sure.LIKELY


def _name_of(free: Sequence[Look]) -> tuple[Look | None, Sure]:
    """The first column of words, unless the second is much fuller."""
    words = [look for look in free if look.is_words][:2]
    if not words:
        return None, Sure.GUESS
    name = max(words, key=lambda look: len(look.said) * (2 if look is words[0] else 1))
    return name, Sure.LIKELY if len(words) == 1 else Sure.GUESS


def _total_of(free: Sequence[Look]) -> tuple[Look | None, Sure]:
    """The total among columns of numbers: the sum of others, or the one that goes in order."""
    numeric = [look for look in free if look.is_numeric]
    if not numeric:
        return None, Sure.GUESS
    if len(numeric) == 1:
        look = numeric[0]
        known = look.is_ordered or not look.are_whole or len(look.numbers) == 1
        sure = Sure.LIKELY if known else Sure.GUESS
        return (look, sure) if known or not look.are_distinct or look.index else (None, sure)
    for look in reversed(numeric):
        others = [other for other in numeric if other is not look]
        if _adds_up(look, others):
            return look, Sure.SURE
    ordered = [look for look in numeric if look.is_ordered]
    pool = ordered or list(numeric)
    best = max(pool, key=lambda look: (sum(look.numbers) / len(look.numbers), look.index))
    return best, Sure.LIKELY if len(ordered) == 1 else Sure.GUESS


def _adds_up(look: Look, others: Sequence[Look]) -> bool:
    """Whether this column is mostly the sum of those right before it, two or more."""
    before = [other for other in others if other.index < look.index]
    for start in range(len(before) - 1):
        right = rows = 0
        for place, cell in enumerate(look.cells):
            total = number_in(cell, look.mark)
            parts = [number_in(other.cells[place], other.mark) for other in before[start:]]
            if total is not None and None not in parts:
                rows += 1
                right += sum(part for part in parts if part is not None) == total
        if rows and right >= MOSTLY * rows:
            return True
    return False


def _number_of(free: Sequence[Look]) -> tuple[Look | None, Sure]:
    """Whole numbers, each once, in no order or in front of all."""
    numeric = [look for look in free if look.is_numeric and look.index < 3]
    fitting = (
        look
        for look in numeric
        if look.are_whole and look.are_distinct and not (look.index and look.is_ordered)
    )
    return next(fitting, None), Sure.GUESS
