"""A picture from a phone, read with care and drawn anew: what is kept has no place and no name."""

import struct
import zlib
from dataclasses import dataclass
from datetime import datetime, timedelta
from io import BytesIO
from typing import IO, Any

from django.core.exceptions import ValidationError
from django.utils import timezone
from PIL import Image, ImageCms, ImageOps

MOST_BYTES = 10 * 1024 * 1024
MOST_PIXELS = 50_000_000
LONG_SIDE = 2000  # [pixels]
SMALL_SIDE = 480  # [pixels]
READ = ("JPEG", "PNG", "WEBP")
HEIC_BRANDS = {b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"heif", b"mif1", b"msf1"}
FORMAT = "%Y:%m:%d %H:%M:%S"
EXIF_PART, TAKEN, TAKEN_OFFSET = 0x8769, 0x9003, 0x9011  # EXIF 2.32, tables 4 and 7
# What Pillow's decoders raise over bytes that they were not made for.
TORN = (
    OSError, SyntaxError, ValueError, TypeError, LookupError, ArithmeticError, EOFError,
    MemoryError, struct.error, zlib.error,
    Image.DecompressionBombError, Image.DecompressionBombWarning,
)  # fmt: skip

TOO_LARGE = (
    "This photo is larger than 10 MB. Choose a smaller size on the phone, then add it again."
)
TOO_MANY_PIXELS = (
    "This picture has more than 50 million dots. Choose a smaller size on the phone, "
    "then add it again."
)
HEIC = (
    "This is a HEIC photo, which cannot be read here. In the phone’s camera settings choose the "
    "most compatible format (JPEG), or share the photo as JPEG, then add it again."
)
NOT_A_PHOTO = "This is not a photo that can be read here: JPEG, PNG and WebP can."
CUT_SHORT = "This photo did not arrive whole, or is damaged. Add it again."


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture drawn anew as JPEG, large and small; `taken_at` None where it does not say."""

    large: bytes
    small: bytes
    width: int
    height: int
    taken_at: datetime | None


def draw_anew(upload: IO[bytes]) -> Picture:
    """
    Read a picture and draw it anew: upright, 2000 pixels on its long side at most, no metadata.

    The name it came under does not count. Refuses (ValidationError, a sentence) more than 10 MB or
    50 million pixels, HEIC, what is no JPEG, PNG or WebP, and what is cut short.
    """
    upload.seek(0)
    data = upload.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        raise ValidationError(TOO_LARGE, code="size")
    if data[4:8] == b"ftyp" and data[8:12] in HEIC_BRANDS:
        raise ValidationError(HEIC, code="heic")
    image = _opened(data)
    if image.width * image.height > MOST_PIXELS:
        raise ValidationError(TOO_MANY_PIXELS, code="pixels")
    taken_at = _taken_at(image)
    try:
        plain = _drawn(image)
    except TORN as error:
        raise ValidationError(CUT_SHORT, code="cut") from error
    small = plain.copy()
    small.thumbnail((SMALL_SIDE, SMALL_SIDE))
    return Picture(_jpeg(plain, 85), _jpeg(small, 80), plain.width, plain.height, taken_at)


def _opened(data: bytes) -> Image.Image:
    """The picture's head; no dot of it is unpacked yet."""
    try:
        return Image.open(BytesIO(data), formats=READ)
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        raise ValidationError(TOO_MANY_PIXELS, code="pixels") from error
    except TORN as error:
        raise ValidationError(NOT_A_PHOTO, code="kind") from error


def _drawn(image: Image.Image) -> Image.Image:
    """The dots alone: in sRGB, upright, on white where it was clear, small enough."""
    profile = image.info.get("icc_profile")
    if image.mode not in ("RGB", "L", "CMYK"):
        image = image.convert("RGBA")
    image.thumbnail((LONG_SIDE, LONG_SIDE))  # a JPEG is unpacked no larger than this needs
    image.load()
    try:
        image = ImageOps.exif_transpose(image)
    except TORN:
        pass  # a torn note on how it was held: it stays as it lies
    plain = Image.new("RGB", image.size, "white")
    if image.mode == "RGBA":
        plain.paste(image, mask=image.getchannel("A"))
    else:
        plain.paste(_in_srgb(image, profile))
    return plain


def _in_srgb(image: Image.Image, profile: bytes | None) -> Image.Image:
    """Its colours as every screen knows them, since its own profile is not kept."""
    if profile and image.mode in ("RGB", "CMYK"):
        try:
            theirs, ours = (
                ImageCms.ImageCmsProfile(BytesIO(profile)),
                ImageCms.createProfile("sRGB"),
            )
            turned = ImageCms.profileToProfile(image, theirs, ours, outputMode="RGB")
        except (ImageCms.PyCMSError, OSError):
            turned = None
        if turned is not None:
            return turned
    return image.convert("RGB")


def _taken_at(image: Image.Image) -> datetime | None:
    """When the camera says it was taken, on the current clock if it names none; None if odd."""
    try:
        notes: dict[int, Any] = image.getexif().get_ifd(EXIF_PART)
        text = str(notes[TAKEN]).strip("\0 ")
        offset = str(notes.get(TAKEN_OFFSET, "")).strip("\0 ")
        at = datetime.strptime(f"{text}{offset}", FORMAT + "%z" * bool(offset))  # noqa: DTZ007 - made aware below
        at = at if at.tzinfo else timezone.make_aware(at)
    except TORN:
        return None
    now = timezone.now()
    return at if now - timedelta(days=3650) < at <= now else None


def _jpeg(image: Image.Image, quality: int) -> bytes:
    kept = BytesIO()
    image.save(kept, "JPEG", quality=quality, optimize=True, progressive=True)
    return kept.getvalue()
