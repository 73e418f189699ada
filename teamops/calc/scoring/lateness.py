"""What a box that came after its window loses, by the rulebook."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from teamops.calc.scoring.rules import EXACT, ZERO, check_decimal
from teamops.calc.scoring.ties import EntryStatus
from teamops.calc.words import count_of, opening, plain


class LateRule(StrEnum):
    """What the rulebook does with a late box."""

    UNKNOWN = ""  # the rulebook does not say
    TAKEN = "taken"
    DOCKED = "docked"
    ZERO = "zero"
    OUT = "out"


@dataclass(frozen=True, slots=True)
class Lateness:
    """A rulebook's word on late boxes: seconds that do not count as late, points a late one loses.

    Refuses (TypeError) floats, (ValueError) a grace or points below 0. [s, points]
    """

    rule: LateRule = LateRule.UNKNOWN
    grace_seconds: int = 0
    points: Decimal | None = None

    def __post_init__(self) -> None:
        check_decimal(self.points, "points off")
        if self.grace_seconds < 0 or (self.points or ZERO) < 0:
            raise ValueError("grace and points taken off must be 0 or more")


@dataclass(frozen=True, slots=True)
class LateOutcome:
    """What becomes of a box: how it is ranked, the points it loses, and the sentence for it.

    `known` is False where the rulebook does not say; then it is ranked as it is.
    """

    status: EntryStatus
    points_off: Decimal
    words: str
    known: bool = True

    def total(self, judged: Decimal | None) -> Decimal | None:
        """What is left of the judged total: never below 0; None where the box is out or unknown."""
        if judged is None or self.status is EntryStatus.OUT:
            return None
        if self.status is EntryStatus.ZERO:
            return ZERO
        return max(ZERO, EXACT.subtract(judged, self.points_off)) if self.points_off else judged


def late_outcome(seconds_late: int, lateness: Lateness) -> LateOutcome:
    """What a box that came so many seconds after its window closed gets.

    Negative or 0 is in time; up to and with the grace it is judged as if it were. [s]
    """
    counted = EntryStatus.COUNTED
    if seconds_late <= 0:
        return LateOutcome(counted, ZERO, "In time.")
    late = opening(f"{_time_words(seconds_late)} late")
    if seconds_late <= lateness.grace_seconds:
        grace = _time_words(lateness.grace_seconds)
        return LateOutcome(counted, ZERO, f"{late}, within the {grace} of grace.")
    match lateness.rule:
        case LateRule.TAKEN:
            return LateOutcome(counted, ZERO, f"{late}; it is judged all the same.")
        case LateRule.DOCKED if lateness.points is not None:
            words = f"{late}; it loses {plain(lateness.points)} points."
            return LateOutcome(counted, lateness.points, words)
        case LateRule.DOCKED:
            words = f"{late}; it loses points, and the rulebook does not say how many."
            return LateOutcome(counted, ZERO, words, known=False)
        case LateRule.ZERO:
            return LateOutcome(EntryStatus.ZERO, ZERO, f"{late}; it counts as zero.")
        case LateRule.OUT:
            return LateOutcome(EntryStatus.OUT, ZERO, f"{late}; it is not judged.")
    words = f"{late}; the rulebook does not say what that costs."
    return LateOutcome(counted, ZERO, words, known=False)


def _time_words(seconds: int) -> str:
    minutes, rest = divmod(seconds, 60)
    parts = [count_of(minutes, "minute")] if minutes else []
    parts += [count_of(rest, "second")] if rest or not minutes else []
    return " ".join(parts)
