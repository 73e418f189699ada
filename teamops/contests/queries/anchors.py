"""The days that a checklist is counted from."""

from datetime import date

from teamops.contests.models import Anchor, Contest, Entry

LONG_DRIVE = 240  # [min] from four hours on one leaves the day before


def anchor_days(contest: Contest) -> dict[str, date]:
    """What leaving, arriving, the turn-in and being home mean for a contest, day by day.

    The trip's own days hold where they were given. Without them a team arrives on the day of the
    load-in, or of the contest; leaves that day, or the day before where the drive takes four hours
    or more; and is home the day after the contest. Asks for the trip unless it is read already.
    """
    arrival = contest.held_on
    if contest.load_in_at:
        arrival = contest.load_in_at.astimezone(contest.zone).date()
    far = (contest.drive_minutes or 0) >= LONG_DRIVE
    return {
        Anchor.TRIP: contest.trip.leaves_on or days_from(arrival, -1 if far else 0),
        Anchor.ARRIVAL: arrival,
        Anchor.TURN_IN: contest.held_on,
        Anchor.HOME: contest.trip.home_on or days_from(contest.held_on, 1),
    }


def turn_in_day(entry: Entry) -> date | None:
    """The day of a box's own window on the contest's clock; None where it has no window yet."""
    moment = entry.window_opens_at or entry.window_closes_at
    return moment.astimezone(entry.contest.zone).date() if moment else None


def days_from(day: date, days: int) -> date:
    """So many days later, or earlier with a minus; at the calendar's own ends it stays there."""
    ordinal = day.toordinal() + days
    return date.fromordinal(min(max(ordinal, date.min.toordinal()), date.max.toordinal()))
