"""The days that a checklist is counted from."""

from datetime import date, timedelta

from teamops.contests.models import Anchor, Contest

LONG_DRIVE = 240  # [min] from four hours on one leaves the day before
ONE_DAY = timedelta(days=1)


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
        Anchor.TRIP: contest.trip.leaves_on or (arrival - ONE_DAY if far else arrival),
        Anchor.ARRIVAL: arrival,
        Anchor.TURN_IN: contest.held_on,
        Anchor.HOME: contest.trip.home_on or contest.held_on + ONE_DAY,
    }
