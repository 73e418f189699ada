"""A drawn part of a page, kept until anything that it is made of changes."""

import zlib
from collections.abc import Callable
from functools import cache as once
from hashlib import sha256

from django.conf import settings
from django.core.cache import cache
from django.utils.safestring import SafeString

from teamops.teams.models import Team

A_WEEK = 7 * 24 * 3600
AN_HOUR = 3600


def keep(
    name: str, stamp: str, draw: Callable[[], str], stamp_now: Callable[[], str]
) -> SafeString:
    """The part as it was kept under this name and stamp, or drawn anew and then kept.

    The stamp names everything the part is made of. It is asked again after drawing: a part during
    whose drawing something changed is shown, but not kept. Another release draws anew; while
    templates are being written (DEBUG) nothing is kept.
    """
    if settings.DEBUG:
        return SafeString(draw())
    stamp += release()
    kept = cache.get(name)
    if kept is not None and kept[0] == stamp:
        return SafeString(zlib.decompress(kept[1]).decode())
    drawn = draw()
    if stamp_now() + release() == stamp:
        cache.set(name, (stamp, zlib.compress(drawn.encode(), 1)), A_WEEK)
    return SafeString(drawn)


def keep_for(team: Team, name: str, draw: Callable[[], str]) -> SafeString:
    """
    The team's part of this name, drawn anew only after something of the team may have changed.

    It is kept under the stamp that the team had when it was read for this visit: what changes while
    it is drawn gives the team another. For an hour at most, in case a press was cut off between
    its saving and its new stamp. Nothing of the visitor may be in it, and what of the clock is in
    it belongs in the name. Where `KEEPS_PAGES` is off everything is drawn each time.
    """
    if not settings.KEEPS_PAGES:
        return SafeString(draw())
    name, stamp = f"{name}-{team.pk}", f"{team.stamp}{release()}"
    kept = cache.get(name)
    if kept is not None and kept[0] == stamp:
        return SafeString(zlib.decompress(kept[1]).decode())
    drawn = draw()
    cache.set(name, (stamp, zlib.compress(drawn.encode(), 1)), AN_HOUR)
    return SafeString(drawn)


@once
def release() -> str:
    """A name for the code and the templates that this process draws with."""
    code = settings.BASE_DIR / "teamops"
    files = [*code.rglob("*.py"), *(settings.BASE_DIR / "templates").rglob("*.html")]
    seen = sha256()
    for file in sorted(files):
        seen.update(file.read_bytes())
    return seen.hexdigest()
