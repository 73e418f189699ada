"""One box with its marks moved: its total and place as they were, and as they would be."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from teamops.calc.placing import Replay, Where, guess_of, place_of, replay
from teamops.insight.queries.placing.boxes import Box


@dataclass(frozen=True, slots=True)
class Played:
    """
    A box played again. [points]

    `own` and `after` are the totals that are held against the field. `counted` is our place among
    the list's totals as it was, `would_be` as it would be; None where it cannot be told.
    """

    box: Box
    replay: Replay
    own: Decimal
    after: Decimal
    counted: Where | None
    would_be: Where | None

    @property
    def gain(self) -> Decimal:
        return self.replay.gain

    @property
    def was(self) -> int | None:
        """Our place as it was posted; where nobody noted it, as it is counted."""
        if self.box.entry.placing is not None:
            return self.box.entry.placing
        counted = self.counted
        return counted.first if counted and counted.first == counted.last else None

    @property
    def climbed(self) -> tuple[int, int] | None:
        """
        How many places up, at least and at most; None where no place can be told.

        Counted places are held against the counted one that was, whatever was posted; where a tie
        is open the worse end counts.
        """
        if self.would_be is None:
            return None
        if self.would_be.counted:
            if self.counted is None:
                return None
            up = self.counted.last - self.would_be.last
            return up, up
        place = self.was or 0
        return place - self.would_be.last, place - self.would_be.first


def play(box: Box, moves: Mapping[str, Decimal]) -> Played | None:
    """
    A box with these marks moved, by criterion key; None where it has no mark for one of them.

    No query.
    """
    if not all(any(sheet.marks.get(key) is not None for sheet in box.sheets) for key in moves):
        return None
    if moves.keys() - box.rules.by_key.keys():
        return None
    found = replay(box.sheets, moves, box.rules, total=box.total, before=box.before)
    own = box.own
    if found is None or own is None or found.after.total is None:
        return None
    after = box.printed(found.after.total)
    counted = would_be = None
    if box.posted is not None:
        field = box.posted.field
        counted = place_of(field, own, box.rules, found.before)
        would_be = place_of(field, after, box.rules, found.after)
        if would_be is None:
            would_be = guess_of(field, found.gain, box.rules)
    return Played(box, found, own, after, counted, would_be)
