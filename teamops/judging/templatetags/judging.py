"""Points and names as the score pages write them."""

from datetime import datetime
from decimal import ROUND_HALF_UP, Decimal

from django import template

from teamops.calc.words import plain
from teamops.contests import queries as words

register = template.Library()


@register.filter
def brief(value: Decimal | None, places: int = 4) -> str:
    """Write points without needless zeros, rounded half up to at most so many places; or a dash."""
    if value is None:
        return "–"
    return plain(value.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP))


@register.filter(expects_localtime=True)
def time_of_day(moment: datetime | None) -> str:
    """Write a moment as all pages do, 2:15 pm, on the clock that the page is on."""
    return words.time_of_day(moment) if moment else ""


@register.filter
def short_name(name: str) -> str:
    """A criterion's name for a narrow column: Taste, Text., App."""
    word = name.split()[0]
    if len(word) <= 6:
        return word
    return f"{word[:3] if word[3] in 'aeiou' and word[2] not in 'aeiou' else word[:4]}."
