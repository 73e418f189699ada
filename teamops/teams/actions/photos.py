"""Photos: kept as drawn anew, and taken away with their files once that is certain."""

from collections.abc import Iterable
from datetime import timedelta
from hashlib import sha256
from typing import IO, Any
from uuid import UUID, uuid4, uuid5

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction
from django.utils import timezone

from teamops.teams.models import Photo, Team, User
from teamops.teams.pictures import Picture, draw_anew

FOLDER = "photos"
LONG_AGO = timedelta(hours=1)  # a file is written before its row is certain


def small_name(name: str) -> str:
    """The name of a photo's small version, beside the large one."""
    return name.removesuffix(".jpg") + "-small.jpg"


def keep_photo(*, team: Team, upload: IO[bytes], by: User, about: UUID | None = None) -> Photo:
    """
    Keep a picture as `draw_anew` draws it, which says what is refused.

    The same picture sent twice `about` the same thing is one photo.
    """
    return keep_picture(team=team, picture=draw_anew(upload), by=by, about=about)


@transaction.atomic
def keep_picture(*, team: Team, picture: Picture, by: User, about: UUID | None = None) -> Photo:
    """Keep a picture that is drawn anew already: the slow part, done before the transaction."""
    key = uuid5(about, sha256(picture.large).hexdigest()) if about else uuid4()
    known = Photo.objects.for_team(team).filter(pk=key).first()
    if known:
        return known
    photo = Photo(
        pk=key,
        team=team,
        width=picture.width,
        height=picture.height,
        size=len(picture.large),
        taken_by=by,
        taken_at=picture.taken_at or timezone.now(),
    )
    try:
        photo.file.save("photo.jpg", ContentFile(picture.large), save=False)
        small = small_name(str(photo.file.name))
        default_storage.delete(small)  # a stray one would take the name
        default_storage.save(small, ContentFile(picture.small))
        photo.save(force_insert=True)
    except Exception:
        _forget([str(photo.file.name)] if photo.file else [])
        raise
    return photo


@transaction.atomic
def delete_photos(*, photos: Iterable[Photo]) -> int:
    """Take photos away; their files go once it is certain. How many went."""
    rows = list(photos)
    names = [str(photo.file.name) for photo in rows]
    Photo.objects.filter(pk__in=[photo.pk for photo in rows]).delete()
    transaction.on_commit(lambda: _forget(names))
    return len(rows)


def _forget(names: Iterable[str]) -> None:
    for name in names:
        default_storage.delete(name)
        default_storage.delete(small_name(name))


def tidy_photos() -> tuple[int, int, list[str]]:
    """
    Take away photos that nothing shows, and files older than an hour that no photo is kept of.

    How many of each went, and the names of files that are missing. A photo is kept in one
    transaction with what shows it, so one that nothing shows was left behind.
    """
    unused = delete_photos(photos=filter(_is_unused, Photo.objects.all()))
    kept = set(Photo.objects.values_list("file", flat=True))
    whole = kept | set(map(small_name, kept))
    there = set(_files())
    before = timezone.now() - LONG_AGO
    stray = [name for name in there - whole if default_storage.get_modified_time(name) < before]
    for name in stray:
        default_storage.delete(name)
    return unused, len(stray), sorted(kept - there)


def _is_unused(photo: Photo) -> bool:
    """Whether no row of any app points to it."""
    relations: Any = photo._meta.related_objects
    for relation in relations:
        rows = relation.related_model._base_manager.filter(**{relation.field.name: photo})
        if rows.exists():
            return False
    return True


def _files() -> Iterable[str]:
    """Every file in the folder of photos, a folder a team."""
    if not default_storage.exists(FOLDER):
        return
    for folder in default_storage.listdir(FOLDER)[0]:
        for name in default_storage.listdir(f"{FOLDER}/{folder}")[1]:
            yield f"{FOLDER}/{folder}/{name}"
