"""Cells that a spreadsheet would take for a formula: written so that they stay text."""

import re
from datetime import date, datetime
from decimal import Decimal

FORMULA = re.compile(r"'*[=+\-@\t\r\n]")
QUOTED = re.compile(r"'+[=+\-@\t\r\n]")
NOT_KEPT = re.compile("[\0-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff\ud800-\udfff]")

Cell = str | int | float | Decimal | date | None


def harmless(text: str) -> str:
    """
    Text that no spreadsheet reckons with: an apostrophe before what would be a formula.

    Text that already has apostrophes there gets one more, so that `as_written` gives it back.
    """
    return f"'{text}" if FORMULA.match(text) else text


def as_written(text: str) -> str:
    """Text as it was before `harmless`."""
    return text[1:] if QUOTED.match(text) else text


def kept(text: str) -> str:
    """Text without the characters that no spreadsheet can hold."""
    return NOT_KEPT.sub("", text)


def number_text(value: float | Decimal) -> str:
    """A number as a spreadsheet shows it: 8.5, 9, 167.44; at most 15 digits, no exponent."""
    number = value if isinstance(value, Decimal) else Decimal(f"{value:.15g}")
    if not number.is_finite():
        return str(number)
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def cell_text(value: object) -> str:
    """A cell's value as a person sees it; days as 2026-05-03, a time of day behind only if any."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, int | float | Decimal):
        return number_text(value)
    if isinstance(value, datetime):
        day = value.date().isoformat()
        return f"{day} {value:%H:%M}" if (value.hour or value.minute) else day
    return as_written(str(value))
