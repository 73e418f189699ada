"""Where a total stands in a field, as far as a list tells it: counted, as a range, or not told."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from teamops.calc.field import Entrant, stand
from teamops.calc.placing.guessed import GuessedPlace, guess_place
from teamops.calc.scoring import Direction, PlaceMethod, Result, Rules
from teamops.calc.scoring.rules import EXACT

OURS = "our box"


@dataclass(frozen=True, slots=True)
class Field:
    """
    A category at one contest as a list has it, without us; `entries` counts everybody. [points]

    `place` and `total` are ours as posted. Lines without a total, and entries that the list does
    not have, are `untold`.
    """

    others: tuple[Entrant, ...]
    entries: int
    place: int | None = None
    total: Decimal | None = None

    @property
    def ranked(self) -> tuple[Entrant, ...]:
        """The others whose totals are known and count."""
        return tuple(one for one in self.others if one.total is not None and not one.out)

    @property
    def untold(self) -> int:
        """How many others may have any total."""
        out = sum(1 for one in self.others if one.out)
        return max(self.entries - 1 - out - len(self.ranked), 0)


@dataclass(frozen=True, slots=True)
class Where:
    """
    A place: `first` to `last`, the same where it is one; `steps` tell how a tie was parted.

    `counted` is true where the field was counted; else it is estimated, and `guess` has the two
    ends it is made of.
    """

    first: int
    last: int
    steps: tuple[str, ...] = ()
    counted: bool = True
    guess: GuessedPlace | None = None


def place_of(
    field: Field, total: Decimal, rules: Rules, result: Result | None = None
) -> Where | None:
    """
    The place of this total, counted in the field; None where entries that are not told may be
    ahead.

    Ties go down the rules' steps as far as both sides' numbers are known; where they are not, the
    place stays open between two. A list that goes unbroken from the first place down tells every
    place above its end, however many it leaves out below. `result` is what our sheets come to.
    """
    end = _end(field, rules)
    if field.untold and (end is None or _ahead(end, total, rules)):
        return None
    totals = [one.total for one in field.ranked if one.total is not None]
    ahead = [one for one in totals if _ahead(one, total, rules)]
    passed = len(set(ahead)) if rules.place_method is PlaceMethod.DENSE else len(ahead)
    level = [replace(one, placing=None) for one in field.ranked if one.total == total]
    ours = Entrant(OURS, total=total, result=result)
    told = stand([ours, *level], rules).stands[0]
    if told.first is None or told.last is None:
        return None
    more = field.untold if total == end else 0  # who is not told may be level with the last told
    return Where(passed + told.first, passed + told.last + more, told.steps)


def guess_of(field: Field, gain: Decimal, rules: Rules) -> Where | None:
    """
    The place with so much more, from our place, the field's size and the winner's total.

    What the list tells besides narrows it: nobody who is still ahead is passed. None where one of
    the three is not known, where we were first, and where the list does not fit.
    """
    winner = next((one.total for one in field.ranked if one.placing == 1), None)
    place, own = field.place, field.total
    if place is None or own is None or winner is None or not 2 <= place <= field.entries:
        return None
    if not _ahead(winner, own, rules):
        return None
    sign = 1 if rules.direction is Direction.HIGH else -1
    numbers = [sign * float(value) for value in (own, winner, gain)]
    guess = guess_place(place, field.entries, *numbers)
    after = EXACT.add(own, gain)
    totals = [one.total for one in field.ranked if one.total is not None]
    ahead = sum(1 for total in totals if _ahead(total, after, rules))
    first = max(guess.best, 1 + ahead)
    return Where(first, max(guess.worst, first), counted=False, guess=guess)


def needed(field: Field, own: Decimal, rules: Rules) -> list[tuple[int, Decimal]]:
    """
    For each better place, first to ours, how much more levels with whoever holds it. [points]

    Level is not yet ahead: a tie-break may go either way. Empty where the field is not told.
    """
    if field.untold and _end(field, rules) is None:
        return []
    better = sorted(
        (one.total for one in field.ranked if one.total is not None),
        reverse=rules.direction is Direction.HIGH,
    )
    return [
        (place, EXACT.subtract(total, own))
        for place, total in enumerate(better, start=1)
        if _ahead(total, own, rules)
    ]


def _end(field: Field, rules: Rules) -> Decimal | None:
    """
    The last total of the unbroken run from the first place on, ours in it: nobody who is not told
    is better. None where there is no such run, and where shared places hide how many there are.
    """
    if rules.place_method is PlaceMethod.DENSE:
        return None
    lines = [(one.placing, one.total) for one in field.ranked if one.placing]
    if field.place and field.total is not None:
        lines.append((field.place, field.total))
    end = None
    for seen, (placing, total) in enumerate(_in_order(lines)):
        if placing > seen + 1:
            break
        end = total
    return end


def _in_order(
    lines: Sequence[tuple[int, Decimal | None]],
) -> list[tuple[int, Decimal | None]]:
    return sorted(lines, key=lambda line: line[0])


def _ahead(one: Decimal, other: Decimal, rules: Rules) -> bool:
    return one > other if rules.direction is Direction.HIGH else one < other
