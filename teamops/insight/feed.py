"""The team's calendar as other calendars read it: iCalendar, RFC 5545."""

import re
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from datetime import UTC, date, datetime, timedelta
from hashlib import sha256
from uuid import NAMESPACE_URL, uuid5
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.cache import cache
from django.utils import timezone
from icalendar import Alarm, Calendar, Event

from teamops.contests.queries import time_of_day, today_of
from teamops.contests.queries.calendar import Dated, calendar_dates
from teamops.insight.links import Links
from teamops.judging import queries as judging
from teamops.packing import queries as packing
from teamops.teams.due import Due
from teamops.teams.models import Team

PAST = timedelta(days=60)
FAR = date(9000, 1, 1)
PRODUCT = "-//Teamops//Team calendar//EN"
HOURLY = timedelta(hours=1)
KEPT = int(PAST.total_seconds())
PAGES = {"task": "contests:show_checklist"}
FORM = "1"  # counts changes of how an event is written, so that readers fetch it anew
STATUS = {"sure": "CONFIRMED", "open": "TENTATIVE", "off": "CANCELLED"}
# What RFC 5545 lets no text hold (CONTROL of its grammar), but for tab and new line.
UNWRITABLE = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")


@dataclass(frozen=True, slots=True)
class FeedEvent:
    """
    One event, before it is written: a day where `starts` is a date, else an instant in UTC.

    `uid` is made of the row and of what of it this is, so that it stays when the event moves.
    """

    uid: str
    starts: date | datetime
    ends: date | datetime | None
    summary: str
    description: str
    location: str
    url: str
    status: str
    sequence: int
    alarm: timedelta | None


@dataclass(frozen=True, slots=True)
class Feed:
    """A team's events, and the moment since which they are as they are."""

    name: str
    events: tuple[FeedEvent, ...]
    since: datetime
    etag: str


def team_feed(team: Team) -> Feed:
    """Everything dated from 60 days ago on; ten queries at most, however many rows.

    `since` is kept in the cache beside a digest of the events, so that an unchanged feed reads the
    same, byte for byte; where the cache forgot, it begins anew.
    """
    events = feed_events(team)
    name = _plain(str(team))
    told = repr((FORM, name, [asdict(event) for event in events]))
    digest = sha256(told.encode("utf-8", "replace")).hexdigest()
    known = cache.get(key := f"feed-{team.pk}")
    if known is None or known[0] != digest:
        known = (digest, timezone.now().replace(microsecond=0))
        cache.set(key, known, KEPT)
    etag = sha256(f"{digest} {known[1]:%Y%m%dT%H%M%S}".encode()).hexdigest()[:32]
    return Feed(name, events, known[1], etag)


def feed_events(team: Team) -> tuple[FeedEvent, ...]:
    """Contests, trips, to-dos and papers; what is to be packed, bought and logged. In order."""
    today = today_of(team)
    links = Links(team)
    events = [_event(row, links) for row in calendar_dates(team, today - PAST)]
    events += _to_do([*packing.due(team, FAR), *judging.due(team, FAR)])
    return tuple(sorted(events, key=lambda event: (_moment(event.starts), event.uid)))


def _moment(at: date | datetime) -> str:
    return at.isoformat()


def _event(row: Dated, links: Links) -> FeedEvent:
    at = row.at.astimezone(UTC) if row.at else None
    until = row.until.astimezone(UTC) if row.until else None
    named = row.where and row.part != "day"
    return FeedEvent(
        uid=str(uuid5(row.row, row.part)),
        starts=at or row.on,
        ends=until if at else _day_after(row.on),
        summary=f"{row.what}: {row.where}" if named else row.what,
        description="\n".join(filter(None, (_wall(row), row.note))),
        location=row.place,
        url=_url(row, links),
        status=STATUS.get(row.state, "CONFIRMED"),
        sequence=row.saves,
        alarm=row.alarm,
    )


def _day_after(day: date) -> date | None:
    """A day ends where the next one begins; the calendar's last one needs no end."""
    return day + timedelta(days=1) if day < date.max else None


def _url(row: Dated, links: Links) -> str:
    """The page that deals with it, for whoever may sign in."""
    if row.contest is None:
        return ""
    page = PAGES.get(row.part, "contests:show_contest")
    return settings.PUBLIC_URL + links.to(page, row.contest)


def _wall(row: Dated) -> str:
    """The hour on the contest's own clock, since a reader's device shows its own."""
    if not row.at or not row.zone:
        return ""
    zone = ZoneInfo(row.zone)
    hours = [time_of_day(at.astimezone(zone)) for at in (row.at, row.until) if at]
    return f"{' to '.join(hours)} on the contest’s clock, {row.zone}"


def _to_do(rows: Iterable[Due]) -> list[FeedEvent]:
    """What packing and judging ask for, as days; the address of its page names each for good."""
    events: dict[str, FeedEvent] = {}
    for due in rows:
        uid = str(uuid5(NAMESPACE_URL, f"{due.url} {due.what.split()[0]}"))
        events[uid] = FeedEvent(
            uid=uid,
            starts=due.on,
            ends=_day_after(due.on),
            summary=f"{due.what}: {due.where}" if due.where else due.what,
            description="",
            location="",
            url=settings.PUBLIC_URL + due.url,
            status="CONFIRMED",
            sequence=0,
            alarm=None,
        )
    return list(events.values())


def write_calendar(feed: Feed) -> bytes:
    """The feed as iCalendar: lines of 75 octets at most, ended by CRLF, text escaped."""
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("x-wr-calname", feed.name)
    calendar.add("name", feed.name)
    calendar.add("refresh-interval", HOURLY, parameters={"VALUE": "DURATION"})
    for event in feed.events:
        calendar.add_component(_component(event, feed.since))
    return calendar.to_ical()


def _component(row: FeedEvent, since: datetime) -> Event:
    event = Event()
    event.add("uid", row.uid)
    event.add("dtstamp", since)
    event.add("last-modified", since)
    event.add("sequence", row.sequence)
    event.add("dtstart", row.starts)
    if row.ends is not None:
        event.add("dtend", row.ends)
    event.add("summary", _plain(row.summary))
    for name in ("description", "location"):
        if text := _plain(getattr(row, name)):
            event.add(name, text)
    if row.url:
        event.add("url", row.url)
    event.add("status", row.status)
    event.add("transp", "TRANSPARENT" if not isinstance(row.starts, datetime) else "OPAQUE")
    if row.alarm is not None:
        event.add_component(_alarm(row))
    return event


def _alarm(row: FeedEvent) -> Alarm:
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", _plain(row.summary))
    alarm.add("trigger", -row.alarm if row.alarm else timedelta(0))
    return alarm


def _plain(text: str) -> str:
    """Text that a calendar may hold."""
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    return UNWRITABLE.sub("", text).strip()
