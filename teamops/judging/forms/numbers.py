"""A number as it is read off paper."""

import re
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from teamops.judging.paper import BLANK, LONGEST, PaperMark, read_paper
from teamops.web.forms import ReadyInput

SHAPE = re.compile(r"(?=.*[\d½])(\d*)(?:[.,](\d*))?(½?)", re.ASCII)
NEGATIVE = re.compile(r"[-−–]\s*[\d.,]")
LONGEST_QUOTE = 20


def read_number(text: str, *, digits: int, places: int) -> Decimal | None:
    """
    The number that was typed, or None for a blank; a comma is a point, 8½ is 8.5.

    Refuses (ValidationError, a sentence) what cannot be stored: letters, less than nothing, more
    than `digits` digits before the point or `places` after it.
    """
    text = " ".join(text.split())
    if not text:
        return None
    quote = f"“{text[:LONGEST_QUOTE]}{'…' if len(text) > LONGEST_QUOTE else ''}”"
    if "\0" in text:
        raise ValidationError("This holds a character that cannot be stored.")
    if NEGATIVE.match(text):
        raise ValidationError(f"{quote} is below nothing; marks start at 0.")
    match = SHAPE.fullmatch(text)
    if match is None or (match[2] and match[3]):
        raise ValidationError(f"{quote} is not a number.")
    whole, part = match[1].lstrip("0"), "5" if match[3] else (match[2] or "").rstrip("0")
    if len(whole) > digits:
        raise ValidationError(f"{quote} is too large to keep: {digits} digits before the point.")
    if len(part) > places:
        raise ValidationError(f"{quote} is too fine to keep: {places} places after the point.")
    return Decimal(f"{whole or 0}.{part or 0}")


class PaperNumberField(forms.Field):
    """A number or a blank, typed with a number pad; see `read_number`."""

    def __init__(self, *, digits: int = 4, places: int = 3, **kwargs: Any) -> None:
        self.digits, self.places = digits, places
        kwargs.setdefault("widget", ReadyInput(attrs={"inputmode": "decimal"}))
        super().__init__(required=False, **kwargs)
        self.widget.attrs["autocomplete"] = "off"

    def to_python(self, value: Any) -> Decimal | None:
        if value is None or isinstance(value, Decimal):
            return value
        return read_number(str(value), digits=self.digits, places=self.places)

    def prepare_value(self, value: Any) -> Any:
        """Show a stored number plainly, and what was typed as it was typed."""
        return f"{value.normalize():f}" if isinstance(value, Decimal) else value


class PaperMarkField(forms.Field):
    """
    A box of a judge's sheet, whatever stands in it; see `judging.paper.read_paper`.

    Refuses only what cannot be stored: more than 40 characters, or one that no database keeps.
    """

    def __init__(self, **kwargs: Any) -> None:
        attrs = {"inputmode": "decimal", "autocomplete": "off"}
        super().__init__(required=False, widget=ReadyInput(attrs=attrs), **kwargs)

    def to_python(self, value: Any) -> PaperMark:
        if isinstance(value, PaperMark):
            return value
        text = " ".join(str(value or "").split())
        if "\0" in text:
            raise ValidationError("This holds a character that cannot be stored.")
        if len(text) > LONGEST:
            words = f"“{text[:LONGEST_QUOTE]}…” is longer than the {LONGEST} letters a box keeps."
            raise ValidationError(f"{words} Put the rest into the comment.")
        return read_paper(text) if text else BLANK

    def prepare_value(self, value: Any) -> Any:
        """Show a stored box as the paper says it, and what was typed as it was typed."""
        if not isinstance(value, PaperMark):
            return value
        if value.said and read_paper(value.said).points == value.points:
            return value.said
        return "" if value.points is None else f"{value.points.normalize():f}"
