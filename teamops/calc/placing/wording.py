"""Places in plain sentences: what is counted, what is guessed from two totals, what may come."""

from collections.abc import Mapping, Sequence
from decimal import Decimal

from teamops.calc.placing.coming import Outlook
from teamops.calc.placing.known import Where
from teamops.calc.words import brief, count_of, list_words, ordinal

FAIR_SHARE = 0.5  # percent below which a chance is not worth a number


def move_words(moves: Mapping[str, Decimal]) -> str:
    """How marks are moved, criteria by name: +0.5 in taste and +1 in doneness."""
    return list_words([f"{signed(step)} in {name.lower()}" for name, step in moves.items()])


def gains_sentence(move: str, gains: Sequence[Decimal], capped: int) -> str:
    """What a move would have added to each total, oldest contest first."""
    if not gains:
        return f"What {move} is worth cannot be told: no contest has all its marks in."
    where = "the last contest" if len(gains) == 1 else f"the last {count_of(len(gains), 'contest')}"
    told = [signed(gain) for gain in gains]
    worth = f"{list_words(told)} points"
    if len(set(told)) == 1 < len(told):
        worth = f"{told[0]} points each time"
    held = f" {count_of(capped, 'mark').capitalize()} had no room to move." if capped else ""
    return f"At {where} {move} would have been worth {worth}.{held}"


def where_words(where: Where) -> str:
    """A place: 3rd; 3rd or 4th where a tie stays open; about 3rd to 5th where it is estimated."""
    ends = [ordinal(where.first), ordinal(where.last)]
    if where.counted:
        joint = " or " if where.last - where.first == 1 else " to "
        return ends[0] if ends[0] == ends[1] else joint.join(ends)
    return f"about {ends[0] if ends[0] == ends[1] else ' to '.join(ends)}"


def placed_words(was: str, would_be: Where | None, entries: int, first: int | None) -> str:
    """Our place with the moved marks beside the one it was; `first` is that one as a number."""
    if first == 1 and (would_be is None or would_be.last == 1):
        return f"first of {entries} already: nothing to gain"
    if would_be is None:
        return "no place can be told"
    if would_be.first == would_be.last == first:
        return f"still {where_words(would_be)} of {entries}"
    return f"{where_words(would_be)} instead of {was} of {entries}"


def outlook_sentence(out: Outlook, prize_places: int = 1) -> str:
    """Where the next contest may place us, and the chance of the places that count."""
    said = f"On average about {ordinal(round(out.expected))} of {len(out.chances)}"
    if out.best < out.worst:
        said += f"; 8 times in 10 between {ordinal(out.best)} and {ordinal(out.worst)}"
    chance = percent_words(out.within(prize_places))
    what = "of winning" if prize_places == 1 else f"of a place among the first {prize_places}"
    return f"{said}. Chance {what}: {chance}."


def signed(value: Decimal) -> str:
    """A gain with its sign: +2.5, −1; nothing is 0."""
    if not value:
        return "0"
    return f"{'−' if value < 0 else '+'}{brief(abs(value))}"


def percent_words(chance: float) -> str:
    """Whole percent, never 0 or 100: nothing here is certain."""
    percent = 100 * chance
    if percent < FAIR_SHARE:
        return "less than 1 %"
    return "more than 99 %" if percent > 100 - FAIR_SHARE else f"{percent:.0f} %"
