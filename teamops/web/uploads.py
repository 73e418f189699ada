"""What phones send: a file that is too large is let go while it comes, and said in words."""

from typing import Any

from django.conf import settings
from django.core.files.uploadhandler import FileUploadHandler, SkipFile
from django.http import HttpRequest


class LimitUploads(FileUploadHandler):
    """
    Stops keeping a file once it is larger than UPLOAD_MOST_BYTES; the rest of the form still comes.

    A form asks `too_large(request)` for the names of the fields whose files were let go.
    """

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes:
        if start + len(raw_data) > settings.UPLOAD_MOST_BYTES:
            # Django sets it before the first chunk comes; its types leave it open
            request: HttpRequest = self.request  # type: ignore[assignment]
            let_go: list[str] = request.META.setdefault(KEY, [])
            let_go.append(str(self.file_name))
            raise SkipFile
        return raw_data

    def file_complete(self, file_size: int) -> None:
        """Leave the file to the handlers that follow."""


KEY = "teamops.too_large"


def too_large(request: HttpRequest) -> list[Any]:
    """The names of files that were let go for their size, in the order they came."""
    len(request.FILES)  # the form is read by then
    return list(request.META.get(KEY, []))
