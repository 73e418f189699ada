"""An entry's photos, wherever they are shown."""

from django import template

from teamops.contests.models import Contest, Entry
from teamops.contests.queries.photos import Gallery, photos_of_each
from teamops.contests.queries.photos import photos_of as read_photos_of
from teamops.teams.models import Membership

register = template.Library()


@register.simple_tag
def photos_of(entry: Entry, membership: Membership) -> Gallery:
    """One entry's photos as this member may see them; one query."""
    return read_photos_of(entry, membership)


@register.simple_tag
def contest_photos(contest: Contest, membership: Membership) -> list[Gallery]:
    """The galleries of all the contest's boxes; one query where its entries are read already."""
    entries = list(contest.entries.all())
    for entry in entries:
        entry.contest = contest
    return photos_of_each(entries, membership)
