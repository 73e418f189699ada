"""Small words and numbers for every template."""

from datetime import datetime, tzinfo
from decimal import Decimal

from django import template
from django.utils import timezone
from django.utils.safestring import SafeString

register = template.Library()


@register.filter
def plain(value: Decimal | float | None) -> str:
    """Write a number without needless zeros: 8.50 as 8.5, 250.00 as 250; nothing as a dash."""
    if value is None:
        return "–"
    number = value if isinstance(value, Decimal) else Decimal(str(value))
    return f"{number.normalize():f}"


@register.filter
def fixed(value: Decimal | float | None, places: int) -> str:
    """Write a number to so many places, or a dash."""
    return "–" if value is None else f"{value:.{places}f}"


@register.filter
def at_zone(value: datetime | None, zone: tzinfo) -> datetime | None:
    """Take a moment to a contest's own clock, so that the date filter prints it there."""
    if value is None:
        return None
    local = timezone.localtime(value, zone)
    # Django's own sign to the date filter, which would take it back to the page's zone
    local.convert_to_local_time = False  # type: ignore[attr-defined]
    return local


@register.simple_block_tag
def capture(content: str) -> str:
    """
    Keep what a piece of template says, without the space around it: `{% capture as section %}`.

    So base.html can ask a page's block for one word and act on it.
    """
    return SafeString(content.strip())  # it was escaped where it was written
