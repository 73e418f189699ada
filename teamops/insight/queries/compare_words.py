"""What a comparison shows and says: blocks of lines, and sentences no stronger than they are."""

from collections.abc import Iterable, Sequence
from itertools import combinations
from typing import NamedTuple

from django.utils.safestring import SafeString

from teamops.calc.words import list_words
from teamops.insight.words import count_words

BY_LUCK = 15  # simulated: of alike groups, two 80 % ranges lie apart in one pair of so many
NAMED = 3  # pairs or groups by name; of more, how many


class GroupLine(NamedTuple):
    """What one criterion costs in one group, in the comparison's unit; ranges may be unknown."""

    group: str
    lost: float
    low: float | None
    high: float | None
    bar: SafeString = SafeString("")


class Block(NamedTuple):
    """One criterion with a line a group; groups that do not have the criterion are not there."""

    name: str
    lines: tuple[GroupLine, ...]


class GroupSum(NamedTuple):
    """One group: its contests, and what a contest of it lost in all criteria."""

    name: str
    contests: str
    lost: float
    bar: SafeString


def beside_words(blocks: Sequence[Block], groups: int) -> str:
    """What the ranges say of the groups, in a sentence or two: a hint where two lie apart."""
    if groups < 2:
        return "There is only one group, so nothing to hold it against."
    pairs = [
        (block.name, one, other)
        for block in blocks
        for one, other in combinations([line for line in block.lines if line.low is not None], 2)
    ]
    if not pairs:
        return "No two groups have three contests each, so nothing can be said but the averages."
    apart = [pair for pair in pairs if _gap(*pair[1:]) > 0]
    if not apart:
        return "No two likely ranges of a criterion lie apart: nothing here tells the groups apart."
    apart.sort(key=lambda pair: -_gap(*pair[1:]))
    said = [f"{name.lower()} ({one.group} and {other.group})" for name, one, other in apart]
    if len(said) > NAMED:
        said = [*said[:NAMED], f"{len(said) - NAMED} more"]
    looked = (
        f"of pairs that do not differ about one in {BY_LUCK} lies apart by luck, and {len(pairs)} "
        "pairs were looked at"
        if len(pairs) > 1
        else f"where nothing differs it happens by luck about one time in {BY_LUCK}"
    )
    return f"Likely ranges lie apart in {list_words(said)}. That is a hint and no proof: {looked}."


def _gap(one: GroupLine, other: GroupLine) -> float:
    """How far two ranges lie apart; below nothing where they overlap."""
    return max((one.low or 0) - (other.high or 0), (other.low or 0) - (one.high or 0))


def beside_notes(few: Sequence[str], by: str, untold: int, more: int) -> Iterable[str]:
    """What a reader of the table should know; `few` are groups too small for a range."""
    if few:
        names = few if len(few) <= NAMED else [*few[:NAMED], f"{len(few) - NAMED} more"]
        yield f"Averages only for {list_words(names)}: fewer than three contests."
    if by in ("cook", "category"):
        yield "A contest with boxes in two groups counts in each of them."
    if more:
        yield f"{count_words(more, 'group')} with fewer contests left out of the table."
    if untold:
        yield f"{count_words(untold, 'group')} left out, since the rulebook lets no loss be told."
