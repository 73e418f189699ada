"""Photos of a box: added by phone, the team's own until the awards, and taken away."""

from datetime import UTC, date, datetime, timedelta
from io import BytesIO

import pytest
from django.core.files.storage import default_storage
from django.urls import reverse
from django.utils import timezone
from PIL import Image

from teamops.contests import actions as contest_actions
from teamops.contests.actions.photos import add_photo as keep
from teamops.contests.models import EntryPhoto
from teamops.contests.queries.photos import open_from, photos_of, photos_of_each
from teamops.teams.actions import small_name
from teamops.teams.models import Photo
from teamops.teams.pictures import MOST_BYTES
from tests.factories.contests import CategoryFactory, ContestFactory, EntryFactory
from tests.factories.photos import EntryPhotoFactory, picture_bytes, upload

BOX = EntryPhoto.Shows.BOX


@pytest.fixture
def entry(team):
    contest = ContestFactory(team=team, name="Mill Smoke", held_on=timezone.localdate())
    return EntryFactory(contest=contest)


def address(name: str, pk, team) -> str:
    return reverse(f"contests:{name}", args=[team.slug, pk])


def add_url(entry) -> str:
    return address("add_photo", entry.pk, entry.contest.team)


def files_of(shown: EntryPhoto) -> list[str]:
    name = shown.photo.file.name
    return [one for one in (name, small_name(name)) if default_storage.exists(one)]


def test_several_photos_are_added_at_once(signed_in, entry, owner):
    typed = {
        "shows": "cut",
        "note": "A bit grey",
        "photos": [upload(), upload(picture_bytes(colour="red"), "second.png")],
    }
    answer = signed_in.post(add_url(entry), typed, follow=True)
    page = answer.content.decode()
    assert "2 photos are kept." in page
    shown = list(entry.photos.all())
    assert [(row.shows, row.note, row.photo.taken_by) for row in shown] == [
        ("cut", "A bit grey", owner.user)
    ] * 2
    assert "The cut of Ribeye at Mill Smoke, " in page
    assert page.count("A bit grey") >= 4  # beside each, and in its words


def test_the_same_press_twice_keeps_one_photo(signed_in, entry):
    for _ in range(2):
        answer = signed_in.post(add_url(entry), {"shows": "box", "camera": upload()})
        assert answer.status_code == 302
    assert entry.photos.count() == 1


def test_one_that_is_refused_does_not_cost_the_others_nor_what_was_typed(signed_in, entry):
    letter = upload(b"Dear judges", "judges.jpg")
    typed = {"shows": "sheet", "note": "Seat 3’s", "photos": [upload(), letter]}
    answer = signed_in.post(add_url(entry), typed)
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "1 photo is kept." in page
    assert "judges.jpg: This is not a photo that can be read here" in page
    assert 'value="Seat 3’s"' in page
    assert 'value="sheet"' in page
    assert answer.context["form"]["shows"].value() == "sheet"
    assert entry.photos.count() == 1


def test_a_file_that_is_too_large_is_let_go_while_it_comes(signed_in, entry):
    huge = upload(picture_bytes() + b"\0" * MOST_BYTES, "huge.jpg")
    typed = {"shows": "box", "note": "Kept", "photos": [huge, upload()]}
    answer = signed_in.post(add_url(entry), typed)
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "huge.jpg: This photo is larger than 10 MB." in page
    assert 'value="Kept"' in page
    assert entry.photos.count() == 1
    alone = upload(picture_bytes() + b"\0" * MOST_BYTES, "huge.jpg")
    page = signed_in.post(add_url(entry), {"shows": "box", "photos": alone}).content.decode()
    assert "larger than 10 MB" in page
    assert "choose one" not in page


def test_nothing_chosen_and_too_many_are_said(signed_in, entry):
    answer = signed_in.post(add_url(entry), {"shows": "box"})
    assert answer.context["form"].errors == {"photos": ["Take a photo, or choose one."]}
    many = [upload() for _ in range(13)]
    answer = signed_in.post(add_url(entry), {"shows": "box", "photos": many})
    assert "12 photos at once" in str(answer.context["form"].errors)
    assert answer.status_code == 422
    assert not entry.photos.exists()


def test_the_page_asks_the_camera_and_works_by_thumb(signed_in, entry):
    page = signed_in.get(add_url(entry)).content.decode()
    assert 'capture="environment"' in page
    assert page.count('accept="image/*"') == 2
    assert 'name="photos" accept="image/*" multiple' in page or "multiple" in page
    assert "No photo yet" in page


def test_the_picture_is_given_large_and_small(signed_in, entry):
    shown = keep(
        entry=entry, upload=upload(picture_bytes((900, 600))), shows=BOX, note="",
        by=entry.contest.team.memberships.get().user,
    )  # fmt: skip
    url = address("show_photo", shown.pk, entry.contest.team)
    answer = signed_in.get(url)
    assert answer["Content-Type"] == "image/jpeg"
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Cache-Control"] == "private, max-age=604800"
    assert Image.open(BytesIO(answer.content)).size == (900, 600)
    small = signed_in.get(url, {"size": "small"})
    assert Image.open(BytesIO(small.content)).size == (480, 320)
    assert signed_in.get(url, {"size": "99999"}).status_code == 404


def test_a_picture_whose_file_is_gone_is_not_found(signed_in, entry):
    shown = EntryPhotoFactory(entry=entry)
    default_storage.delete(shown.photo.file.name)
    url = address("show_photo", shown.pk, entry.contest.team)
    assert signed_in.get(url).status_code == 404


def test_nobody_gets_at_the_file_beside_the_view(client, signed_in, entry, settings):
    shown = EntryPhotoFactory(entry=entry)
    assert not settings.MEDIA_URL.strip("/")
    for start in ("/", "/media/", "/static/"):
        assert client.get(start + shown.photo.file.name).status_code == 404


def test_readers_wait_for_the_awards_and_helpers_do_not(client, reader, helper, entry):
    contest = entry.contest
    contest.awards_at = timezone.now() + timedelta(minutes=5)
    contest.save()
    shown = EntryPhotoFactory(entry=entry, note="Secret pattern")
    url = address("show_photo", shown.pk, contest.team)
    page_url = address("show_contest", contest.pk, contest.team)
    client.force_login(helper.user)
    assert client.get(url).status_code == 200
    assert "readers after that" in client.get(page_url).content.decode()
    client.force_login(reader.user)
    assert client.get(url).status_code == 403
    page = client.get(page_url).content.decode()
    assert "Secret pattern" not in page
    assert str(shown.pk) not in page
    assert "Photos are for those who cook and help until the awards." in page
    contest.awards_at = timezone.now() - timedelta(minutes=1)
    contest.save()
    assert client.get(url).status_code == 200
    assert "Secret pattern" in client.get(page_url).content.decode()


def test_the_awards_are_read_on_the_official_clock_and_else_it_is_the_next_day():
    contest = ContestFactory.build(
        held_on=date(2027, 11, 6), time_zone="America/Chicago", clock_offset_seconds=90,
        awards_at=datetime(2027, 11, 6, 21, 0, tzinfo=UTC),
    )  # fmt: skip
    assert open_from(contest) == datetime(2027, 11, 6, 20, 58, 30, tzinfo=UTC)
    contest.awards_at = None
    assert open_from(contest) == datetime(2027, 11, 7, 5, 0, tzinfo=UTC)
    contest.held_on = date(2027, 11, 7)  # clocks go back that night
    assert open_from(contest) == datetime(2027, 11, 8, 6, 0, tzinfo=UTC)


def test_what_a_picture_shows_is_said_in_words(entry, owner):
    shown = EntryPhotoFactory(entry=entry, note="Left corner is smeared")
    Photo.objects.filter(pk=shown.pk).update(
        taken_at=datetime.combine(entry.contest.held_on, datetime.min.time(), tzinfo=UTC)
        + timedelta(hours=18, minutes=58)
    )
    row = photos_of(entry, owner).rows[0]
    hour = "1:58 pm" if entry.contest.zone.utcoffset(
        datetime.combine(entry.contest.held_on, datetime.min.time())
    ) == timedelta(hours=-5) else "12:58 pm"  # fmt: skip
    assert row.alt == f"The box of Ribeye at Mill Smoke, {hour}: Left corner is smeared"


@pytest.mark.parametrize("many", [1, 7])
def test_galleries_take_one_query_however_many_boxes_and_photos(
    team, owner, many, django_assert_num_queries
):
    contest = ContestFactory(team=team)
    entries = [
        EntryFactory(contest=contest, category=CategoryFactory(team=team, name=f"Dish {n}"))
        for n in range(many)
    ]
    for entry in entries:
        for _ in range(many):
            EntryPhotoFactory(entry=entry)
    with django_assert_num_queries(1):
        galleries = photos_of_each(entries, owner)
    assert [len(gallery.rows) for gallery in galleries] == [many] * many


def test_removing_asks_first_and_takes_the_files(
    signed_in, entry, django_capture_on_commit_callbacks
):
    shown = EntryPhotoFactory(entry=entry)
    url = address("remove_photo", shown.pk, entry.contest.team)
    assert "It goes for good." in signed_in.get(url).content.decode()
    assert len(files_of(shown)) == 2
    with django_capture_on_commit_callbacks(execute=True):
        assert signed_in.post(url).status_code == 302
    assert files_of(shown) == []
    assert not Photo.objects.exists()
    assert "gone already" in signed_in.post(url, follow=True).content.decode()


def test_a_helper_removes_their_own_photo_only(client, helper, entry):
    own, other = EntryPhotoFactory(entry=entry, by=helper.user), EntryPhotoFactory(entry=entry)
    client.force_login(helper.user)
    team = entry.contest.team
    assert client.post(address("remove_photo", other.pk, team)).status_code == 403
    page = client.get(add_url(entry)).content.decode()
    assert address("remove_photo", own.pk, team) in page
    assert address("remove_photo", other.pk, team) not in page
    assert client.post(address("remove_photo", own.pk, team)).status_code == 302
    assert list(entry.photos.all()) == [other]


@pytest.mark.parametrize("what", ["contest", "entry"])
def test_photos_go_with_their_box_and_their_contest(
    entry, what, django_capture_on_commit_callbacks
):
    shown, other = EntryPhotoFactory(entry=entry), EntryPhotoFactory()
    with django_capture_on_commit_callbacks(execute=True):
        if what == "contest":
            contest_actions.delete_contest(contest=entry.contest)
        else:
            contest_actions.delete_entry(entry=entry)
    assert files_of(shown) == []
    assert len(files_of(other)) == 2
    assert list(Photo.objects.all()) == [other.photo]


@pytest.mark.parametrize("name", ["add_photo", "note_cook"])
def test_another_teams_box_is_not_found_and_a_reader_may_not(
    signed_in, client, reader, entry, name
):
    theirs = EntryFactory()
    assert signed_in.get(address(name, theirs.pk, reader.team)).status_code == 404
    client.force_login(reader.user)
    assert client.get(address(name, entry.pk, reader.team)).status_code == 403


@pytest.mark.parametrize("name", ["show_photo", "remove_photo"])
def test_another_teams_photo_is_not_found(signed_in, team, name):
    shown = EntryPhotoFactory()
    assert signed_in.get(address(name, shown.pk, team)).status_code == 404
