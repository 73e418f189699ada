"""Times, windows and drives as people say them."""

from collections.abc import Callable
from datetime import date, datetime, time
from uuid import UUID

from django.urls import reverse
from django.utils import timezone

from teamops.contests.models import Contest, Entry
from teamops.teams.models import Team


def today_of(team: Team) -> date:
    """The day on the team's own clock."""
    return timezone.localdate(timezone=team.zone)


def time_of_day(local: datetime | time) -> str:
    """1:00 pm, as people say it."""
    return f"{local.hour % 12 or 12}:{local.minute:02} {'am' if local.hour < 12 else 'pm'}"


def clock(moment: datetime, contest: Contest) -> str:
    """A time of day on the contest's clock, as people there say it: 1:00 pm."""
    local = moment.astimezone(contest.zone)
    text = time_of_day(local)
    if local.date() != contest.held_on:
        text += f" {local:%a} {local.day} {local:%b}"
    return text


def window(entry: Entry) -> str:
    """An entry's turn-in window in words, or nothing where none is known yet."""
    opens, closes = entry.window_opens_at, entry.window_closes_at
    if opens and closes:
        return f"{clock(opens, entry.contest)} to {clock(closes, entry.contest)}"
    if closes:
        return f"by {clock(closes, entry.contest)}"
    return f"from {clock(opens, entry.contest)}" if opens else ""


def drive(minutes: int | None) -> str:
    """A drive in words: 2 h 10 min."""
    if minutes is None:
        return ""
    hours, rest = divmod(minutes, 60)
    return " ".join(
        part for part in (f"{hours} h" * bool(hours), f"{rest} min" * bool(rest)) if part
    )


def ordinal(number: int) -> str:
    """1st, 2nd, 3rd, 4th … 11th."""
    teen = 10 <= number % 100 <= 20
    return f"{number}{'th' if teen else {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th')}"


def short_day(day: date) -> str:
    """3 May: a day of the season that is spoken of."""
    return f"{day.day} {day:%b}"


def long_day(day: date) -> str:
    """3 May 2027: a day that may be in another year."""
    return f"{short_day(day)} {day.year}"


def addresses(team: Team, name: str) -> Callable[[UUID], str]:
    """The page's address for any row, at the price of one look-up."""
    some = UUID(int=0)
    pattern = reverse(name, args=[team.slug, some])
    return lambda pk: pattern.replace(str(some), str(pk))


def whose(entry: Entry) -> str:
    """Who cooks the box, and for whom: "Ana", "Sam, guest", "Ana for Red Fork"; may be empty."""
    cook = f"{entry.guest_cook}, guest" if entry.guest_cook else str(entry.cook_of_record or "")
    return f"{cook or 'cooked'} for {entry.cooked_for}" if entry.cooked_for else cook
