"""
A small reader of iCalendar, written from the grammar of RFC 5545, to check what we serve.

It shares no code with what writes the feed. Every refusal is a ValueError that names the section.
"""

import re
from dataclasses import dataclass, field
from datetime import UTC, date, datetime

CONTROL = re.compile(r"[\x00-\x08\x0a-\x1f\x7f]")
NAME = re.compile(r"[A-Za-z0-9-]+")
SAFE = r"[^\x00-\x08\x0a-\x1f\x7f\";:,]*"
PARAM = re.compile(rf';([A-Za-z0-9-]+)=("[^"\x00-\x08\x0a-\x1f\x7f]*"|{SAFE})')
DURATION = re.compile(
    r"[+-]?P(\d+W|\d+D(T(\d+H(\d+M(\d+S)?)?|\d+M(\d+S)?|\d+S))?"
    r"|T(\d+H(\d+M(\d+S)?)?|\d+M(\d+S)?|\d+S))"
)
TEXT = re.compile(r"(?:[^\\;,]|\\[\\;,Nn])*")
TEXTS = {"SUMMARY", "DESCRIPTION", "LOCATION", "NAME", "X-WR-CALNAME", "UID", "PRODID"}
ONCE = {
    "CLASS", "CREATED", "DESCRIPTION", "DTEND", "DTSTAMP", "DTSTART", "DURATION", "GEO",
    "LAST-MODIFIED", "LOCATION", "ORGANIZER", "PRIORITY", "RECURRENCE-ID", "SEQUENCE", "STATUS",
    "SUMMARY", "TRANSP", "UID", "URL",
}  # fmt: skip
STATUSES = {"TENTATIVE", "CONFIRMED", "CANCELLED"}


@dataclass
class Property:
    """One content line: its parameters and its value as it stands."""

    params: dict[str, str]
    raw: str

    @property
    def text(self) -> str:
        """Section 3.3.11: text, its escapes undone."""
        if not TEXT.fullmatch(self.raw):
            raise ValueError(f"3.3.11: not escaped: {self.raw!r}")
        return re.sub(r"\\(.)", lambda m: "\n" if m[1] in "nN" else m[1], self.raw)

    @property
    def when(self) -> date | datetime:
        """Sections 3.3.4 and 3.3.5: a day, or an instant in UTC; no floating time is ours."""
        if self.params.get("VALUE") == "DATE":
            return datetime.strptime(self.raw, "%Y%m%d").replace(tzinfo=UTC).date()
        if not re.fullmatch(r"\d{8}T\d{6}Z", self.raw):
            raise ValueError(f"3.3.5: neither a day nor UTC: {self.raw!r}")
        return datetime.strptime(self.raw, "%Y%m%dT%H%M%SZ").replace(tzinfo=UTC)


@dataclass
class Component:
    """BEGIN to END: properties by name, and what stands inside."""

    kind: str
    properties: dict[str, list[Property]] = field(default_factory=dict)
    inside: list["Component"] = field(default_factory=list)

    def one(self, name: str) -> Property:
        found = self.properties.get(name, [])
        if len(found) != 1:
            raise ValueError(f"3.6: {self.kind} has {len(found)} of {name}")
        return found[0]


def read(octets: bytes) -> Component:
    """The calendar in these octets, checked; ValueError says what breaks which section."""
    top = Component("")
    open_ones = [top]
    for line in unfold(octets):
        name, prop = content_line(line)
        if name == "BEGIN":
            inner = Component(prop.raw)
            open_ones[-1].inside.append(inner)
            open_ones.append(inner)
        elif name == "END":
            if open_ones.pop().kind != prop.raw:
                raise ValueError(f"3.6: END of {prop.raw}, which is not open")
        else:
            open_ones[-1].properties.setdefault(name, []).append(prop)
    if len(open_ones) != 1 or len(top.inside) != 1 or top.inside[0].kind != "VCALENDAR":
        raise ValueError("3.4: not one whole VCALENDAR")
    check_calendar(top.inside[0])
    return top.inside[0]


def unfold(octets: bytes) -> list[str]:
    """Section 3.1: lines end in CRLF, are 75 octets at most, and a white space folds them."""
    if not octets.endswith(b"\r\n"):
        raise ValueError("3.1: the last line has no CRLF")
    lines: list[bytes] = []
    for row in octets[:-2].split(b"\r\n"):
        if len(row) > 75:
            raise ValueError(f"3.1: a line of {len(row)} octets")
        row.decode("utf-8")  # a fold within a character would be read wrongly by many
        if row[:1] in (b" ", b"\t") and lines:
            lines[-1] += row[1:]
        else:
            lines.append(row)
    return [line.decode("utf-8") for line in lines]


def content_line(line: str) -> tuple[str, Property]:
    """Section 3.1: name *(";" param) ":" value."""
    name = NAME.match(line)
    if name is None or CONTROL.search(line):
        raise ValueError(f"3.1: no content line: {line!r}")
    at, params = name.end(), {}
    while found := PARAM.match(line, at):
        params[found[1].upper()] = found[2].strip('"')
        at = found.end()
    if line[at : at + 1] != ":":
        raise ValueError(f"3.1: no value: {line!r}")
    return name[0].upper(), Property(params, line[at + 1 :])


def check_calendar(calendar: Component) -> None:
    """Sections 3.4, 3.6 and 3.7: what must be there, once, and what is inside."""
    for name in ("PRODID", "VERSION"):
        calendar.one(name)
    if calendar.one("VERSION").raw != "2.0":
        raise ValueError("3.7.4: VERSION is not 2.0")
    if not calendar.inside:
        return
    uids = [event.one("UID").text for event in calendar.inside]
    if len(set(uids)) != len(uids):
        raise ValueError("3.8.4.7: a UID comes twice")
    for event in calendar.inside:
        if event.kind != "VEVENT":
            raise ValueError(f"a {event.kind} is not ours")
        check_event(event)


def check_event(event: Component) -> None:
    """Section 3.6.1: required properties, what may come once, the order of start and end."""
    start = event.one("DTSTART").when
    if not isinstance(event.one("DTSTAMP").when, datetime):
        raise ValueError("3.8.7.2: DTSTAMP is no instant")
    for name, found in event.properties.items():
        if name in ONCE and len(found) > 1:
            raise ValueError(f"3.6.1: {name} comes {len(found)} times")
        for prop in found if name in TEXTS else ():
            _ = prop.text
    if "DTEND" in event.properties:
        end = event.one("DTEND").when
        # days with days, instants with instants: the first half sees to it, which types cannot
        if type(end) is not type(start) or end <= start:  # type: ignore[operator]
            raise ValueError(f"3.8.2.2: it ends at {end}, and starts at {start}")
    if "STATUS" in event.properties and event.one("STATUS").raw not in STATUSES:
        raise ValueError("3.8.1.11: no such status")
    if "SEQUENCE" in event.properties and not event.one("SEQUENCE").raw.isdigit():
        raise ValueError("3.8.7.4: no whole number")
    for alarm in event.inside:
        check_alarm(alarm)


def check_alarm(alarm: Component) -> None:
    """Section 3.6.6: an alarm that shows something."""
    if alarm.kind != "VALARM" or alarm.one("ACTION").raw != "DISPLAY":
        raise ValueError("3.6.6: not an alarm to show")
    _ = alarm.one("DESCRIPTION").text
    if not DURATION.fullmatch(alarm.one("TRIGGER").raw):
        raise ValueError("3.3.6: no duration")
