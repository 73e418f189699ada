"""Which values count: outliers, dropped low and high ones, the middle, the closest pair."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from teamops.calc.scoring.records import Standing
from teamops.calc.scoring.rules import ZERO, Aggregate, Direction, DropScope, Rules

Goodness = tuple[Decimal, ...]  # what a value is worth in a tie, first tie-break step first


@dataclass(frozen=True, slots=True)
class TiedDrop:
    """Equal values of which only some were dropped: whose went, whose stayed."""

    gone: tuple[int, ...]
    kept: tuple[int, ...]
    low: bool


@dataclass(frozen=True, slots=True)
class Choice:
    """Where each value stands, in the order given, and what had to be settled on the way."""

    standings: tuple[Standing, ...]
    ties: tuple[TiedDrop, ...] = ()
    too_few_to_drop: bool = False
    all_outliers: bool = False


def choose(values: Sequence[Decimal], goodness: Sequence[Goodness], rules: Rules) -> Choice:
    """Which of a column's values count: outliers go first, then the dropped, then the aggregate's.

    Of equal values the ones of least goodness are dropped. Values are never all taken away: with
    too few of them none is dropped, and if all are outliers none is. Call it in the exact context.
    """
    standings = [Standing.COUNTS] * len(values)
    outliers = _outliers(values, rules.reject_outlier)
    all_outliers = bool(outliers) and len(outliers) == len(values)
    for index in () if all_outliers else outliers:
        standings[index] = Standing.OUTLIER
    low, high = _drop_numbers(rules, standings.count(Standing.COUNTS))
    too_few = low + high > 0 and standings.count(Standing.COUNTS) <= low + high
    ties = []
    if not too_few:
        ties = [
            *_drop(standings, values, goodness, low, Standing.DROPPED_LOW),
            *_drop(standings, values, goodness, high, Standing.DROPPED_HIGH),
        ]
    _narrow(standings, values, rules)
    return Choice(tuple(standings), tuple(ties), too_few, all_outliers)


def _outliers(values: Sequence[Decimal], distance: Decimal | None) -> list[int]:
    if distance is None or not values:
        return []
    mean = sum(values, ZERO) / len(values)
    return [index for index, value in enumerate(values) if abs(value - mean) > distance]


def _drop_numbers(rules: Rules, count: int) -> tuple[int, int]:
    if rules.drop_scope is DropScope.NONE:
        low, high = 0, 0
    else:
        low, high = rules.drop_low, rules.drop_high
    if rules.aggregate is Aggregate.CLOSEST_PAIR and count >= 4 and not low + high:
        return 1, 1
    return low, high


def _drop(
    standings: list[Standing],
    values: Sequence[Decimal],
    goodness: Sequence[Goodness],
    number: int,
    why: Standing,
) -> list[TiedDrop]:
    """Take `number` values from one end; tell which equal ones were left."""
    if not number:
        return []
    low = why is Standing.DROPPED_LOW
    order = sorted(
        (index for index, standing in enumerate(standings) if standing is Standing.COUNTS),
        key=lambda index: (values[index] if low else -values[index], goodness[index]),
    )
    for index in order[:number]:
        standings[index] = why
    edge = values[order[number - 1]]
    gone = tuple(index for index in order[:number] if values[index] == edge)
    kept = tuple(index for index in order[number:] if values[index] == edge)
    return [TiedDrop(gone, kept, low)] if kept else []


def _narrow(standings: list[Standing], values: Sequence[Decimal], rules: Rules) -> None:
    """For a median keep the middle one or two, for a closest pair the pair out of three."""
    counting = [index for index, standing in enumerate(standings) if standing is Standing.COUNTS]
    order = sorted(counting, key=lambda index: values[index])
    count = len(order)
    if rules.aggregate is Aggregate.MEDIAN:
        for index in {*order} - {*order[(count - 1) // 2 : count // 2 + 1]}:
            standings[index] = Standing.NOT_MIDDLE
    if rules.aggregate is Aggregate.CLOSEST_PAIR and count == 3 == len(values):
        bottom, middle, top = (values[index] for index in order)
        higher_wins = rules.direction is Direction.HIGH
        upper = top - middle < middle - bottom or (top - middle == middle - bottom and higher_wins)
        standings[order[0 if upper else 2]] = Standing.NOT_CLOSEST
