"""Places in plain sentences: what is counted, what is guessed from two totals, what may come."""

from collections.abc import Sequence
from decimal import Decimal

from teamops.calc.placing.coming import Outlook
from teamops.calc.placing.guessed import GuessedPlace
from teamops.calc.placing.replay import Replay
from teamops.calc.scoring import Place
from teamops.calc.words import brief, count_of, list_words, ordinal

FIRST = "First already: nothing to gain. How much room there was needs the runner-up's total."
FAIR_SHARE = 0.5  # percent below which a chance is not worth a number


def worth_sentence(name: str, step: Decimal, replays: Sequence[Replay]) -> str:
    """What a step in one criterion would have added to each total, oldest contest first."""
    move = f"{_signed(step)} in {name.lower()}"
    if not replays:
        return f"What {move} is worth cannot be told: no contest has all its marks in."
    where = "At the last contest" if len(replays) == 1 else f"At the last {_contests(replays)}"
    gains = list_words([_signed(one.gain) for one in replays])
    held = sum(one.capped for one in replays)
    top = f" {count_of(held, 'mark').capitalize()} had no room to move." if held else ""
    return f"{where} {move} would have been worth {gains} points.{top}"


def replay_sentence(one: Replay) -> str:
    """Our place in a known field, as it was and as it would be."""
    gain = f"{_signed(one.gain)} points"
    if one.was is None or one.would_be is None:
        return f"{gain}: {brief(one.after)} instead of {brief(one.before)}."
    if one.was.place == one.would_be.place and one.was.shared == one.would_be.shared:
        return f"{gain}, and still {_place(one.was)} of {one.field}."
    return f"{gain}: {_place(one.would_be)} instead of {_place(one.was)} of {one.field}."


def guessed_sentence(guess: GuessedPlace | None, place: int, entries: int) -> str:
    """A place guessed from two totals, as the range it is; None where we were first."""
    if guess is None or place == 1:
        return FIRST
    ends = [ordinal(guess.best), ordinal(guess.worst)]
    where = ends[0] if ends[0] == ends[1] else f"{ends[0]} to {ends[1]}"
    return f"About {where} instead of {ordinal(place)} of {entries}, estimated from two scores."


def outlook_sentence(out: Outlook, prize_places: int = 1) -> str:
    """Where the next contest may place us, and the chance of the places that count."""
    said = f"Expect about {ordinal(round(out.expected))} of {len(out.chances)}"
    if out.best < out.worst:
        said += f"; 8 times in 10 between {ordinal(out.best)} and {ordinal(out.worst)}"
    chance = _percent(out.within(prize_places))
    what = "of winning" if prize_places == 1 else f"of a place among the first {prize_places}"
    return f"{said}. Chance {what}: {chance}."


def _contests(replays: Sequence[Replay]) -> str:
    return count_of(len(replays), "contest")


def _place(place: Place) -> str:
    if place.place is None:
        return "unplaced"
    return f"{'shared ' if place.shared else ''}{ordinal(place.place)}"


def _signed(value: Decimal) -> str:
    return f"{'−' if value < 0 else '+'}{brief(abs(value))}"


def _percent(chance: float) -> str:
    """Whole percent, never 0 or 100: nothing here is certain."""
    percent = 100 * chance
    if percent < FAIR_SHARE:
        return "less than 1 %"
    return "more than 99 %" if percent > 100 - FAIR_SHARE else f"{percent:.0f} %"
