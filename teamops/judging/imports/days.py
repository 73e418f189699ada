"""Days as people write them, numbers alone in the order that the table has."""

import re
from collections.abc import Iterable
from datetime import date, timedelta

MONTHS = {
    name: number
    for number, names in enumerate(
        ("jan january januar", "feb february februar", "mar march märz", "apr april",
         "may mai", "jun june juni", "jul july juli", "aug august", "sep sept september",
         "oct october okt oktober", "nov november", "dec december dez dezember"), 1)
    for name in names.split()
}  # fmt: skip
ISO = re.compile(r"(\d{4})[-./](\d{1,2})[-./](\d{1,2})(?:[T ]\d{1,2}:\d{2}(?::\d{2})?.*)?")
PARTS = re.compile(r"(\d{1,2})\s?[-./]\s?(\d{1,2})\s?[-./]\s?(\d{4}|\d{2})")
WEEKDAY = re.compile(r"^(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*[.,]?\s+", re.IGNORECASE)
ORDINAL = re.compile(r"(\d)(?:st|nd|rd|th)\b", re.IGNORECASE)
SERIAL = re.compile(r"[2-6]\d{4}")
EPOCH = date(1899, 12, 30)  # spreadsheets count their days from here
YEARS = (1950, 2100)


class Unread(ValueError):  # noqa: N818 - it is what the cell is
    """The cell cannot be read as what its column says; the words are what was expected."""


def day_in(text: str, order: str) -> date:
    """A day as written; numbers alone in this order ("mdy", "dmy", "ymd")."""
    day = _day(" ".join(text.split()), order)
    if day is None or not YEARS[0] <= day.year < YEARS[1]:
        raise Unread("a day such as 2026-05-03")
    return day


def _day(text: str, order: str) -> date | None:
    bare = ORDINAL.sub(r"\1", WEEKDAY.sub("", text))
    iso = ISO.fullmatch(bare)
    if iso:
        return _date(int(iso[1]), int(iso[2]), int(iso[3]))
    parts = PARTS.fullmatch(bare)
    if parts:
        return _numbered(int(parts[1]), int(parts[2]), parts[3], order)
    if SERIAL.fullmatch(bare):
        return EPOCH + timedelta(days=int(bare))
    words = re.findall(r"[^\W\d_]+|\d+", bare.casefold())
    months = [MONTHS[word] for word in words if word in MONTHS]
    numbers = [word for word in words if word.isdigit()]
    if len(months) != 1 or len(numbers) != 2 or len(words) != 3:
        return None
    year = next((n for n in numbers if len(n) == 4), numbers[1])
    rest = numbers[1] if numbers[0] == year else numbers[0]
    return _date(_year(year), months[0], int(rest))


def _numbered(first: int, second: int, year: str, order: str) -> date | None:
    if order == "ymd" and len(year) == 2:
        return _date(_year(f"{first:02}"), second, int(year))
    month, day = (second, first) if order == "dmy" else (first, second)
    return _date(_year(year), month, day)


def _year(text: str) -> int:
    year = int(text)
    return year if len(text) > 2 else year + (2000 if year < 70 else 1900)


def _date(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def day_orders(cells: Iterable[str]) -> set[str]:
    """In which orders all days of a column can be read; both where nothing tells them apart."""
    orders = {"mdy", "dmy"}
    for cell in cells:
        parts = PARTS.fullmatch(" ".join(ORDINAL.sub(r"\1", WEEKDAY.sub("", cell)).split()))
        if parts is None:
            continue
        if int(parts[1]) > 12:
            orders.discard("mdy")
        if int(parts[2]) > 12:
            orders.discard("dmy")
    return orders
