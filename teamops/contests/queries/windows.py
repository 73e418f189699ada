"""Whose clock a time is on: the official one, or ours; and what hangs on the window.

Windows, the awards and turn-ins are kept as the official clock reads them, since it decides. What
we do by our own clock is worked back from them: ours = official - offset.
"""

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from teamops.contests.models import Contest, Entry
from teamops.contests.queries.words import clock, time_of_day
from teamops.rules.models import Rulebook

DAY = timedelta(days=1)


def official(moment: datetime, contest: Contest) -> datetime:
    """What the official clock reads at a moment of ours."""
    return moment + timedelta(seconds=contest.clock_offset_seconds or 0)


def ours(moment: datetime, contest: Contest) -> datetime:
    """The moment of ours at which the official clock reads this."""
    return moment - timedelta(seconds=contest.clock_offset_seconds or 0)


def instants(day: date, wall: time, zone: ZoneInfo) -> list[datetime]:
    """Every moment at which a clock in the zone reads this: one, two on a night back, or none."""
    naive = datetime.combine(day, wall)
    found = {naive.replace(tzinfo=zone, fold=fold).astimezone(UTC) for fold in (0, 1)}
    return sorted(at for at in found if at.astimezone(zone).replace(tzinfo=None) == naive)


def offset_from_reading(reads: time, at: datetime, zone: ZoneInfo) -> int:
    """Seconds that the official clock is ahead of ours, if it read this at our moment `at`.

    The nearest moment of that reading counts, so that midnight and the hour that comes twice when
    clocks go back do not make an hour of 90 seconds. Refuses nothing: a clock an hour out is so.
    """
    day = at.astimezone(zone).date()
    candidates = [one for around in (-1, 0, 1) for one in instants(day + around * DAY, reads, zone)]
    apart = min(((one - at).total_seconds() for one in candidates), key=abs)
    return round(apart)


def span(seconds: float) -> str:
    """A stretch of time in words: 20 s, 1 min 30 s, 1 h 5 min."""
    minutes, rest = divmod(abs(round(seconds)), 60)
    hours, minutes = divmod(minutes, 60)
    parts = [f"{hours} h" * bool(hours), f"{minutes} min" * bool(minutes), f"{rest} s" * bool(rest)]
    return " ".join(part for part in parts if part) or "0 s"


def offset_words(seconds: int | None) -> str:
    """How the official clock stands against ours, or nothing if nobody has compared them."""
    if seconds is None:
        return ""
    if seconds == 0:
        return "reads the same as ours"
    return f"{span(seconds)} {'ahead of' if seconds > 0 else 'behind'} ours"


def offset_sentence(seconds: int | None) -> str:
    """The same as a sentence; what is taken where nobody has compared the clocks."""
    if seconds is None:
        return (
            "The official clock is not compared with ours yet: until it is, ours is taken for it."
        )
    return f"The official clock {'is ' if seconds else ''}{offset_words(seconds)}."


def wall(moment: datetime, contest: Contest) -> str:
    """A time on the contest's wall, 1:00 pm; which of two where the hour comes twice."""
    local = moment.astimezone(contest.zone)
    return clock(moment, contest) + (f" {local:%Z}" if comes_twice(local) else "")


def to_the_second(moment: datetime, contest: Contest) -> str:
    """A time on the contest's wall with its seconds: 12:58:30 pm."""
    local = moment.astimezone(contest.zone)
    words = time_of_day(local)
    timed = words.replace(" ", f":{local.second:02} ", 1)
    return timed + wall(moment, contest).removeprefix(words)


def comes_twice(local: datetime) -> bool:
    """Whether this wall time stands twice on its day, because clocks go back over it."""
    first, second = local.replace(fold=0).utcoffset(), local.replace(fold=1).utcoffset()
    return first is not None and second is not None and first > second


def window_words(entry: Entry) -> str:
    """The turn-in window by the official clock, or nothing where none is known yet."""
    opens, closes = entry.window_opens_at, entry.window_closes_at
    if opens and closes:
        return f"{wall(opens, entry.contest)} to {wall(closes, entry.contest)}"
    if closes:
        return f"by {wall(closes, entry.contest)}"
    return f"from {wall(opens, entry.contest)}" if opens else ""


def box_name(entry: Entry) -> str:
    """What people call this box: its category, whose it is, and its number where it has one."""
    cook = entry.guest_cook or (
        entry.cook_of_record.get_short_name() if entry.cook_of_record else ""
    )
    number = f"no. {entry.team_number}" if entry.team_number else ""
    return ", ".join(part for part in (str(entry.category), cook, number) if part)


@dataclass(frozen=True, slots=True)
class Leaving:
    """The latest moment to leave the pit with the box, by our clock, and how it was worked out."""

    at: datetime
    words: str
    working: tuple[str, ...]


def leave_by(entry: Entry) -> Leaving | None:
    """Close, less the walk, less what the official clock is ahead; None without a close."""
    contest, closes = entry.contest, entry.window_closes_at
    if closes is None:
        return None
    walk, offset = contest.walk_seconds, contest.clock_offset_seconds
    start = closes - timedelta(seconds=walk or 0)
    at = ours(start, contest)
    unpaced = "the walk is not paced yet, so none is taken"
    walked = unpaced if walk is None else f"less {span(walk)} of walk"
    steps = [
        f"The window closes {to_the_second(closes, contest)} by the official clock",
        f"{walked}: {to_the_second(start, contest)} by the official clock",
    ]
    if offset:
        sign = "less" if offset > 0 else "plus"
        way = "ahead" if offset > 0 else "behind"
        steps.append(
            f"{sign} {span(offset)}, as the official clock is {way}: "
            f"{to_the_second(at, contest)} by ours"
        )
    elif offset is None:
        steps.append("the clocks are not compared yet: ours is taken for the official one")
    return Leaving(at, to_the_second(at, contest), tuple(steps))


@dataclass(frozen=True, slots=True)
class Punctuality:
    """How a turn-in lies to its window: `late` or `early` seconds, in words, and the rule on it."""

    late: int
    early: int
    words: str
    rule: str

    @property
    def in_time(self) -> bool:
        return not self.late and not self.early


def punctuality(entry: Entry, at: datetime | None = None) -> Punctuality | None:
    """How the turn-in, or a moment `at` by the official clock, lies to the window.

    On the very second of the close is in time. None without a turn-in or a window.
    """
    at = at or entry.turned_in_at
    opens, closes = entry.window_opens_at, entry.window_closes_at
    if at is None or not (opens or closes):
        return None
    late = int((at - closes).total_seconds()) if closes and at > closes else 0
    early = int((opens - at).total_seconds()) if opens and at < opens else 0
    if late:
        return Punctuality(
            late, 0, f"{span(late)} late by the official clock", _late_rule(entry.rulebook, late)
        )
    if early:
        return Punctuality(0, early, f"{span(early)} early by the official clock", "")
    left = f", {span((closes - at).total_seconds())} before it closed" if closes else ""
    return Punctuality(0, 0, f"in time{left}", "")


def _late_rule(rulebook: Rulebook, late: int) -> str:
    """What the rulebook does with a box so many seconds late."""
    grace = rulebook.late_grace_seconds
    if grace and late <= grace:
        return f"{rulebook} gives {span(grace)} of grace: the box is within it."
    said = {
        Rulebook.Late.TAKEN: "a late box is judged all the same",
        Rulebook.Late.DOCKED: "a late box loses points",
        Rulebook.Late.ZERO: "a late box counts as zero",
        Rulebook.Late.OUT: "a late box is not judged",
    }.get(Rulebook.Late(rulebook.late), "")
    if rulebook.late == Rulebook.Late.DOCKED and rulebook.late_points is not None:
        said = f"a late box loses {rulebook.late_points.normalize():f} points"
    after = f", after {span(grace)} of grace" if grace and said else ""
    words = f"{rulebook}: {said}{after}." if said else ""
    more = rulebook.lateness
    return " ".join(part for part in (words, more) if part) or (
        f"{rulebook} says nothing about late boxes: ask the organiser."
    )
