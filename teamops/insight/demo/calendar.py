"""Days of the demo season: what is coming counts from the day of loading, what is past back."""

from datetime import date, timedelta

SATURDAY = 5
SEASON_AGO = 100  # the second season began at least so many days ago: room for its contests


def clock_change(year: int) -> date:
    """The Sunday on which clocks go forward in the United States: the second of March."""
    first = date(year, 3, 1)
    return first + timedelta(days=(6 - first.weekday()) % 7 + 7)


def saturday_from(day: date) -> date:
    """That day, or the next Saturday."""
    return day + timedelta(days=(SATURDAY - day.weekday()) % 7)


def first_season(today: date, contests: int) -> list[date]:
    """Saturdays of the year before the second season, spring to autumn."""
    opening = second_season_opens(today)
    start = opening - timedelta(days=333)
    return [saturday_from(start + timedelta(days=180 * n // contests)) for n in range(contests)]


def second_season_opens(today: date) -> date:
    """The latest clock-change Sunday that leaves room for a season since."""
    for year in (today.year, today.year - 1):
        if (day := clock_change(year)) <= today - timedelta(days=SEASON_AGO):
            return day
    return clock_change(today.year - 2)


def second_season(today: date, weekends: int) -> list[date]:
    """The clock-change Sunday, then Saturdays up to a fortnight ago at the latest."""
    opening = second_season_opens(today)
    room = min((today - opening).days - 20, 240)
    days = [opening]
    for n in range(1, weekends):
        day = saturday_from(opening + timedelta(days=room * n // (weekends - 1)))
        days.append(day)
    return days
