"""What is kept of a picture from a phone, and what is refused in words."""

import random
from datetime import UTC, datetime
from io import BytesIO, StringIO

import pytest
from django.core.exceptions import ValidationError
from django.core.management import call_command
from django.utils import timezone
from PIL import Image, ImageCms

from teamops.contests.actions.photos import add_photo
from teamops.teams import actions
from teamops.teams.models import Photo
from teamops.teams.pictures import MOST_BYTES, draw_anew
from tests.factories.contests import EntryFactory
from tests.factories.photos import EntryPhotoFactory, picture_bytes, upload

GPS = 0x8825


@pytest.fixture
def folder(settings, tmp_path):
    """Photos on the disk, as in service."""
    settings.MEDIA_ROOT = tmp_path
    settings.STORAGES = settings.STORAGES | {
        "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"}
    }
    return tmp_path


def files(folder) -> list[str]:
    return sorted(path.name for path in folder.rglob("*.jpg"))


def from_a_phone(**more) -> bytes:
    """A photo with all that a phone puts into it: place, time, how it was held, a profile."""
    exif = Image.Exif()
    exif[0x0112] = 6  # held upright: turn it a quarter to the right
    exif[0x010F] = "Maker"
    place = exif.get_ifd(GPS)
    place[1], place[2] = "N", (45.0, 7.0, 30.0)
    place[3], place[4] = "W", (93.0, 16.0, 5.0)
    notes = exif.get_ifd(0x8769)
    notes[0x9003] = "2026:06:13 12:58:20"
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    options = {
        "exif": exif,
        "icc_profile": profile,
        "xmp": b"<x:xmpmeta>GPSLatitude 45.125</x:xmpmeta>",
        "comment": b"behind the mill",
    }
    return picture_bytes((400, 300), **(options | more))


def test_no_place_and_no_other_note_is_left():
    data = from_a_phone()
    before = Image.open(BytesIO(data))
    assert before.getexif().get_ifd(GPS)[2] == (45.0, 7.0, 30.0)
    assert b"GPSLatitude" in data
    assert b"behind the mill" in data
    drawn = draw_anew(BytesIO(data))
    for kept in (drawn.large, drawn.small):
        image = Image.open(BytesIO(kept))
        assert image.format == "JPEG"
        assert not image.getexif()
        assert not image.getexif().get_ifd(GPS)
        assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density",
                                   "progressive", "progression"}  # fmt: skip
        for trace in (b"Exif", b"xmp", b"GPS", b"ICC_PROFILE", b"mill", b"Maker"):
            assert trace not in kept


def test_it_stands_upright_and_small_enough():
    drawn = draw_anew(BytesIO(from_a_phone()))
    assert (drawn.width, drawn.height) == (300, 400)
    large = draw_anew(BytesIO(picture_bytes((5000, 2500))))
    assert (large.width, large.height) == (2000, 1000)
    assert Image.open(BytesIO(large.small)).size == (480, 240)


def test_when_it_was_taken_is_read_on_the_current_clock():
    with timezone.override("America/Denver"):
        drawn = draw_anew(BytesIO(from_a_phone()))
    assert drawn.taken_at == datetime(2026, 6, 13, 18, 58, 20, tzinfo=UTC)
    assert draw_anew(BytesIO(picture_bytes())).taken_at is None


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_other_kinds_become_jpeg_whatever_their_name(kind):
    drawn = draw_anew(upload(picture_bytes(kind=kind), name="../../etc/holiday.exe"))
    assert Image.open(BytesIO(drawn.large)).format == "JPEG"


def test_clear_parts_become_white():
    kept = BytesIO()
    Image.new("RGBA", (20, 20), (0, 0, 0, 0)).save(kept, "PNG")
    image = Image.open(BytesIO(draw_anew(kept).large))
    assert min(image.getpixel((10, 10))) > 250


@pytest.mark.filterwarnings("ignore:Corrupt EXIF")  # the library says so in its own words
def test_a_torn_note_on_how_it_was_held_does_not_cost_the_photo():
    data = picture_bytes(exif=b"Exif\0\0II*\0\xff\xff\xff\xff torn")
    assert draw_anew(BytesIO(data)).width == 64


HEIC = b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + b"\0" * 200


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (HEIC, "HEIC photo"),
        (HEIC.replace(b"ftypheic", b"ftypmif1"), "share the photo as JPEG"),
        (b"Dear judges, this is a letter.", "not a photo"),
        (b"", "not a photo"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "not a photo"),
        (b"GIF89a" + b"\0" * 50, "not a photo"),
    ],
)
def test_what_is_no_photo_is_refused_in_words(data, words):
    with pytest.raises(ValidationError) as refusal:
        draw_anew(upload(data, name="box.jpg"))
    assert words in refusal.value.message


def test_a_photo_that_is_cut_short_is_refused():
    noise = random.Random(1).randbytes(300 * 300 * 3)
    kept = BytesIO()
    Image.frombytes("RGB", (300, 300), noise).save(kept, "JPEG")
    whole = kept.getvalue()
    assert draw_anew(BytesIO(whole)).width == 300
    with pytest.raises(ValidationError, match="did not arrive whole"):
        draw_anew(BytesIO(whole[: len(whole) // 2]))


def test_more_than_ten_megabytes_are_refused():
    data = picture_bytes()
    fits = data + b"\0" * (MOST_BYTES - len(data))
    assert draw_anew(BytesIO(fits)).width == 64
    with pytest.raises(ValidationError, match="larger than 10 MB"):
        draw_anew(BytesIO(fits + b"\0"))


@pytest.mark.parametrize("size", [(10_000, 5_001), (10_000, 9_000), (20_000, 9_000)])
def test_a_small_file_of_too_many_dots_is_refused_before_it_is_unpacked(size):
    data = BytesIO()
    Image.new("1", size).save(data, "PNG", optimize=True)
    assert len(data.getvalue()) < 200_000
    with pytest.raises(ValidationError, match="50 million dots"):
        draw_anew(data)


def test_the_same_picture_about_the_same_thing_is_one_photo(team, owner, folder):
    entry = EntryFactory(contest__team=team)
    first = actions.keep_photo(team=team, upload=upload(), by=owner.user, about=entry.pk)
    again = actions.keep_photo(team=team, upload=upload(), by=owner.user, about=entry.pk)
    assert first.pk == again.pk
    assert files(folder) == [f"{first.pk}-small.jpg", f"{first.pk}.jpg"]
    other = actions.keep_photo(team=team, upload=upload(), by=owner.user)
    assert other.pk != first.pk


def test_a_write_that_fails_leaves_no_file(team, owner, folder, monkeypatch):
    def fail(*args, **kwargs):
        raise RuntimeError("no room")

    monkeypatch.setattr(Photo, "save", fail)
    with pytest.raises(RuntimeError):
        actions.keep_photo(team=team, upload=upload(), by=owner.user)
    assert files(folder) == []


def test_a_photos_files_go_once_that_is_certain(db, folder, django_capture_on_commit_callbacks):
    shown = EntryPhotoFactory()
    with django_capture_on_commit_callbacks(execute=True):
        actions.delete_photos(photos=[shown.photo])
        assert len(files(folder)) == 2
    assert files(folder) == []
    assert not Photo.objects.exists()


def test_deleting_a_team_takes_its_photos_files_along(
    team, owner, folder, django_capture_on_commit_callbacks
):
    EntryPhotoFactory(entry=EntryFactory(contest__team=team))
    other = EntryPhotoFactory()
    with django_capture_on_commit_callbacks(execute=True):
        actions.delete_team(team=team, typed=team.name, by=owner.user)
    assert files(folder) == [f"{other.photo.pk}-small.jpg", f"{other.photo.pk}.jpg"]


def test_closing_the_only_members_account_does_too(
    owner, folder, django_capture_on_commit_callbacks
):
    EntryPhotoFactory(entry=EntryFactory(contest__team=owner.team))
    with django_capture_on_commit_callbacks(execute=True):
        actions.close_account(user=owner.user, typed=owner.user.email)
    assert files(folder) == []


def test_tidying_takes_away_what_was_left_behind(
    team, owner, folder, settings, monkeypatch, django_capture_on_commit_callbacks
):
    shown = EntryPhotoFactory()
    actions.keep_photo(team=team, upload=upload(), by=owner.user)  # nothing shows it
    stray = folder / "photos" / "9" / "left.jpg"
    stray.parent.mkdir(parents=True)
    stray.write_bytes(b"x")
    lost = EntryPhotoFactory(entry=shown.entry)
    (folder / lost.photo.file.name).unlink()

    def tidy() -> tuple[str, str]:
        out, err = StringIO(), StringIO()
        with django_capture_on_commit_callbacks(execute=True):
            call_command("tidy_photos", stdout=out, stderr=err)
        return out.getvalue(), err.getvalue()

    said, missing = tidy()
    assert said == "1 photos nothing shows and 0 stray files taken away.\n"  # it is new yet
    assert lost.photo.file.name in missing
    monkeypatch.setattr("teamops.teams.actions.photos.LONG_AGO", timezone.timedelta(0))
    said, _ = tidy()
    assert "0 photos nothing shows and 1 stray files" in said
    assert not stray.exists()
    assert (folder / shown.photo.file.name).exists()


def test_a_photo_with_what_shows_it_is_whole_or_not(team, owner, folder):
    entry = EntryFactory(contest__team=team)
    with pytest.raises(ValidationError):
        add_photo(entry=entry, upload=upload(), shows="a cat", note="", by=owner.user)
    assert not Photo.objects.exists()
    assert files(folder) == []
