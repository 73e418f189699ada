"""What is left of a box's sum once the judges have said what its lateness costs."""

from dataclasses import dataclass
from decimal import Decimal

from teamops.calc.scoring import exact_sum
from teamops.calc.words import brief, plain
from teamops.contests.models import Entry
from teamops.rules.models import Rulebook

ZERO = Decimal(0)
NOT_JUDGED = (*Entry.OUT, Entry.State.NOT_JUDGED)


@dataclass(frozen=True, slots=True)
class Settled:
    """
    The total that is left, what was taken off, and sentences about both. [points]

    `total` is None where there is none, and then `why_no_total` says why if it was the outcome.
    """

    total: Decimal | None
    docked: Decimal = ZERO
    words: str = ""
    why_no_total: str = ""


def settle(entry: Entry, added_up: Decimal | None) -> Settled:
    """
    The total of a box whose papers add up to so much; no query where its rulebook is loaded.

    Docked points never take it below 0. A disqualified box keeps its sum, which is said: what the
    papers say stays worth knowing, and a disqualification may be taken back.
    """
    if entry.state in NOT_JUDGED:
        words = f"The box is put down as {entry.get_state_display()}, so it has no total."
        return Settled(None, ZERO, words, words)
    if entry.late == Entry.Late.OUT:
        words = "The box came late and is not judged, so it has no total."
        return Settled(None, ZERO, words, words)
    if added_up is None:
        return Settled(None)
    if entry.late == Entry.Late.ZERO:
        words = f"The box came late and counts as zero: all {brief(added_up)} are taken off."
        return Settled(ZERO, added_up, words)
    if entry.late == Entry.Late.DOCKED:
        return _docked(entry, added_up)
    if entry.disqualified:
        return Settled(added_up, ZERO, "The box is disqualified: the sum is for our own eyes.")
    return Settled(added_up)


def _docked(entry: Entry, added_up: Decimal) -> Settled:
    points = entry.late_points
    whose = ""
    if points is None and entry.rulebook.late == Rulebook.Late.DOCKED:
        points, whose = entry.rulebook.late_points, f" by {entry.rulebook}"
    if points is None:
        words = "The box was docked for coming late, and nobody has noted by how much."
        return Settled(added_up, ZERO, words)
    if entry.rulebook.direction == Rulebook.Direction.LOW:
        words = f"The lowest total wins, so the {plain(points)} points for lateness are not in it."
        return Settled(added_up, ZERO, words)
    docked = min(points, max(added_up, ZERO))
    left = exact_sum([added_up, -docked])
    words = f"{brief(docked)} points are taken off for coming late{whose}: {brief(left)} are left."
    return Settled(left, docked, words)
