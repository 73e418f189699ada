"""Days as every paper words them: the weekday with them, the month in letters, the year always.

A paper lies about for long, and a day in digits reads otherwise on either side of an ocean.
"""

from datetime import date

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip


def long_day(day: date) -> str:
    """A day for a head: Saturday, 5 June 2027."""
    return f"{WEEKDAYS[day.weekday()]}, {day.day} {MONTHS[day.month - 1]} {day.year}"


def short_day(day: date) -> str:
    """A day for a line or a cell: Sat 5 Jun 2027."""
    return f"{WEEKDAYS[day.weekday()][:3]} {day.day} {MONTHS[day.month - 1][:3]} {day.year}"


def printed_on(day: date) -> str:
    """What a foot says of the day a paper was printed: Printed Sat 5 Jun 2027."""
    return f"Printed {short_day(day)}"
