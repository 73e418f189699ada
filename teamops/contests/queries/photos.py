"""Photos of a box beside what was seen of it; the team's own until the awards."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, time
from uuid import UUID

from django.urls import reverse
from django.utils import timezone

from teamops.contests.models import Contest, Entry, EntryPhoto
from teamops.contests.queries.cooked import Cooked, cooked_of
from teamops.contests.queries.windows import DAY, box_name, ours, wall
from teamops.teams.models import Membership
from teamops.teams.roles import Permission

SMALL_SIDE = 480  # [pixels]


@dataclass(frozen=True, slots=True)
class PhotoRow:
    """One photo in words ready to print; width and height are of its small version."""

    url: str
    small_url: str
    remove_url: str  # empty where it is not theirs to take away
    alt: str
    shows: str
    note: str
    taken: str
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class Gallery:
    """An entry's photos and how it was cooked, for one member; `word` says who sees the photos."""

    entry: Entry
    name: str
    rows: tuple[PhotoRow, ...]
    cooked: Cooked
    word: str
    is_shown: bool
    may_log: bool

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to show, and nothing to do for this member."""
        return not (self.rows or self.cooked.lines or self.word or self.may_log)


def open_from(contest: Contest) -> datetime:
    """From when readers see photos: the awards, or the day after where their time is not known."""
    if contest.awards_at:
        return ours(contest.awards_at, contest)
    midnight = datetime.combine(contest.held_on + DAY, time.min)
    return midnight.replace(tzinfo=contest.zone)


def may_see(contest: Contest, membership: Membership, now: datetime | None = None) -> bool:
    """Whether this member sees the contest's photos: who logs always, others from the awards."""
    return membership.may(Permission.LOG) or (now or timezone.now()) >= open_from(contest)


def photos_of(entry: Entry, membership: Membership) -> Gallery:
    """An entry's photos, oldest first, as this member may see them; one query."""
    return photos_of_each([entry], membership)[0]


def photos_of_each(entries: Iterable[Entry], membership: Membership) -> list[Gallery]:
    """The galleries of some entries of a team, in their order; one query for all."""
    entries, now = list(entries), timezone.now()
    seen = [entry for entry in entries if may_see(entry.contest, membership, now)]
    found: dict[UUID, list[EntryPhoto]] = defaultdict(list)
    for shown in EntryPhoto.objects.filter(entry__in=seen).select_related("photo"):
        found[shown.entry_id].append(shown)
    return [_gallery(entry, found[entry.pk], membership, now) for entry in entries]


def photo_row(shown: EntryPhoto, entry: Entry, membership: Membership) -> PhotoRow:
    photo, slug = shown.photo, membership.team.slug
    url = reverse("contests:show_photo", args=[slug, photo.pk])
    what, taken = shown.get_shows_display(), wall(photo.taken_at, entry.contest)
    scale = min(1, SMALL_SIDE / max(photo.width, photo.height))
    own = photo.taken_by_id == membership.user_id and membership.may(Permission.LOG)
    removable = own or membership.may(Permission.PLAN)
    note = f": {shown.note}" if shown.note else ""
    return PhotoRow(
        url=url,
        small_url=f"{url}?size=small",
        remove_url=reverse("contests:remove_photo", args=[slug, photo.pk]) if removable else "",
        alt=f"{what[:1].upper()}{what[1:]} of {box_name(entry)} at {entry.contest}, {taken}{note}",
        shows=what,
        note=shown.note,
        taken=taken,
        width=round(photo.width * scale),
        height=round(photo.height * scale),
    )


def _gallery(
    entry: Entry, photos: list[EntryPhoto], membership: Membership, now: datetime
) -> Gallery:
    contest = entry.contest
    private = now < open_from(contest)
    is_shown = may_see(contest, membership, now)
    until = "the awards" if contest.awards_at else "the day after the contest"
    word = ""
    if private and is_shown:
        word = f"Only those who cook and help see photos until {until}; readers after that."
    elif private:
        word = f"Photos are for those who cook and help until {until}."
    return Gallery(
        entry=entry,
        name=box_name(entry),
        rows=tuple(photo_row(shown, entry, membership) for shown in photos),
        cooked=cooked_of(entry, membership.team.units),
        word=word,
        is_shown=is_shown,
        may_log=membership.may(Permission.LOG),
    )
