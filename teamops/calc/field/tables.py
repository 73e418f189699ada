"""A box among those at its judges' table, and that table among the field."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from statistics import fmean, median, stdev

from teamops.calc.words import brief, ordinal

EIGHT_OF_TEN = 1.2816  # standard deviations that hold 80 % of a normal distribution
FEWEST_ELSEWHERE = 3  # boxes at other tables, without which a table cannot be held against them


@dataclass(frozen=True, slots=True)
class AtTable:
    """
    Where a box stands at its table and in its field; places count from 1, ties share the better.

    `above` is how far it lies above the middle of its table, `apart` how far the other boxes of the
    table lie on average above those of other tables, `chance` how far they do so in 8 of 10 draws
    of boxes to tables. The last two are None where there is no other table to speak of. [points,
    better is above]
    """

    place: int
    boxes: int
    above: Decimal
    field_place: int
    field: int
    apart: float | None = None
    chance: float | None = None


def at_table(
    own: Decimal, table: Sequence[Decimal], others: Sequence[Decimal], *, low_wins: bool = False
) -> AtTable | None:
    """
    A box beside the other totals of its `table` and the `others` of the field, its own in neither.

    None where it is alone at its table. The chance is that of a mean of boxes drawn from all but
    our own without putting back; the normal distribution stands in for the draw.
    """
    if not table:
        return None
    sign = -1 if low_wins else 1
    mine, here, there = sign * own, [sign * t for t in table], [sign * t for t in others]
    apart = chance = None
    if len(there) >= FEWEST_ELSEWHERE:
        every = [float(total) for total in (*here, *there)]
        apart = fmean(map(float, here)) - fmean(map(float, there))
        spread = stdev(every) * math.sqrt(1 / len(here) + 1 / len(there))
        chance = EIGHT_OF_TEN * spread
    return AtTable(
        place=1 + sum(total > mine for total in here),
        boxes=len(here) + 1,
        above=mine - median([mine, *here]),
        field_place=1 + sum(total > mine for total in (*here, *there)),
        field=len(here) + len(there) + 1,
        apart=apart,
        chance=chance,
    )


def table_words(found: AtTable) -> list[str]:
    """Where the box stands at its table, in its field, and whether the table tells a tale."""
    above = abs(found.above)
    middle = (
        f"{brief(above)} point{'' if above == 1 else 's'} {'above' if found.above > 0 else 'below'}"
    )
    where = f"{middle} its middle" if above else "at its very middle"
    place = (
        f"At your table of {found.boxes} boxes you were {ordinal(found.place)}, {where}; "
        f"in the field {ordinal(found.field_place)} of {found.field}."
    )
    if found.apart is None or found.chance is None:
        return [place]
    side = "above" if found.apart > 0 else "below"
    lie = f"The table’s other boxes lie {abs(found.apart):.1f} points {side} those of other tables"
    drawn = f"{found.chance:.1f} points either way in 8 of 10 draws"
    if abs(found.apart) <= found.chance:
        return [place, f"{lie}, no more than the draw of boxes makes by itself ({drawn})."]
    how = "a mild table, or strong boxes" if found.apart > 0 else "a harsh table, or weak boxes"
    return [place, f"{lie}, more than the draw of boxes usually makes ({drawn}): {how} at it."]
