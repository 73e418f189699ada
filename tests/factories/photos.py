"""Photos for tests: drawn here, so that nothing but numbers is in them."""

from collections.abc import Callable
from io import BytesIO

import factory
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from teamops.contests.actions.photos import add_photo
from teamops.contests.models import Entry, EntryPhoto
from teamops.teams.models import User
from tests.factories.contests import EntryFactory
from tests.factories.teams import UserFactory


def picture_bytes(
    size: tuple[int, int] = (64, 48), kind: str = "JPEG", colour: str = "brown", **options: object
) -> bytes:
    """A plain picture of this size and format; options go to its encoder."""
    kept = BytesIO()
    Image.new("RGB", size, colour).save(kept, kind, **options)
    return kept.getvalue()


def upload(data: bytes | None = None, name: str = "box.jpg") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, picture_bytes() if data is None else data, "image/jpeg")


class _Colours:
    """Another colour each time: the same picture twice is one photo."""

    def __init__(self) -> None:
        self.count = 0

    def __call__(self) -> str:
        self.count += 1
        return f"#{self.count * 9973 % 0xFFFFFF:06x}"


another_colour: Callable[[], str] = _Colours()


class EntryPhotoFactory(factory.Factory):
    """A photo of an entry, kept as the page keeps it."""

    class Meta:
        model = EntryPhoto

    entry = factory.SubFactory(EntryFactory)
    shows = EntryPhoto.Shows.BOX
    note = ""
    by = factory.SubFactory(UserFactory)

    @classmethod
    def _create(
        cls, model_class: type, *args: object, entry: Entry, shows: str, note: str, by: User
    ) -> EntryPhoto:
        data = picture_bytes(colour=another_colour())
        return add_photo(entry=entry, upload=upload(data), shows=shows, note=note, by=by)
