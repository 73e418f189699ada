"""Photos of a box, its cut, its sheets and its ticket; and how it was cooked, as seen."""

from typing import IO

from django.db import transaction

from teamops.contests.models import Contest, Entry, EntryPhoto
from teamops.teams.actions import delete_photos, keep_picture
from teamops.teams.models import Photo, User
from teamops.teams.pictures import draw_anew


def add_photo(*, entry: Entry, upload: IO[bytes], shows: str, note: str, by: User) -> EntryPhoto:
    """
    Keep a photo of an entry; the same picture sent twice is one, with what was said of it last.

    Refuses (ValidationError) what `draw_anew` refuses.
    """
    EntryPhoto(entry=entry, shows=shows, note=note).clean_fields(exclude=["photo"])
    picture = draw_anew(upload)
    with transaction.atomic():
        photo = keep_picture(team=entry.contest.team, picture=picture, by=by, about=entry.pk)
        shown, _ = EntryPhoto.objects.update_or_create(
            photo=photo, defaults={"entry": entry, "shows": shows, "note": note}
        )
    return shown


@transaction.atomic
def remove_photo(*, shown: EntryPhoto) -> None:
    """Take a photo away for good, with its files."""
    delete_photos(photos=[shown.photo])


def forget_photos(*, contest: Contest | None = None, entry: Entry | None = None) -> None:
    """Before a contest or an entry goes: its photos go too, with their files."""
    here = {"of_entry__entry": entry} if entry else {"of_entry__entry__contest": contest}
    delete_photos(photos=Photo.objects.filter(**here))


@transaction.atomic
def note_cook(*, entry: Entry, seen: int, by: User) -> Entry:
    """Keep doneness as seen and the three temperatures; what is odd is kept as well.

    Raises Conflict if somebody changed the entry since version `seen`.
    """
    entry.claim(seen=seen, by=by)
    entry.full_clean()
    entry.save()
    return entry
