"""Pictures for the demo season: plainly drawings, labelled as such, made while it is loaded."""

from collections.abc import Mapping, Sequence
from datetime import timedelta
from io import BytesIO
from itertools import pairwise
from typing import Any

from PIL import Image, ImageDraw, ImageFont

from teamops.contests.actions.photos import add_photo
from teamops.contests.models import Contest, Entry, EntryPhoto
from teamops.insight.demo.season import Season

SIZE = (640, 480)  # [pixels]
FINE = 2  # drawn so many times larger, then made smaller: its edges come out smooth
Colour = tuple[int, int, int]
TABLE, FOAM, FOLD, CRUST, BAR = "#b9a88c", "#f4f1e8", "#cfc8b6", "#5b3a26", "#33211a"
PLATE, RIM, INK = "#e9ecee", "#c3cace", "#4a3c2a"
GREY_BAND: Colour = (150, 118, 98)
# The middle of a cut by its peak: red, pink, then grey. [°C]
MIDDLE: Sequence[tuple[float, Colour]] = (
    (55, (164, 42, 48)), (59, (196, 84, 84)), (61, (212, 130, 120)), (63.5, (186, 142, 122)),
    (67, (150, 118, 98)),
)  # fmt: skip
WORDS = "demo drawing"


def add_pictures(season: Season, record: Mapping[str, Any]) -> None:
    """A drawing of the box and one of the cut for each contest that the record names."""
    for name in record["pictures"]:
        contest = Contest.objects.get(pk=season.contests[name].pk)
        rows = contest.entries.select_related("contest", "category", "cook_of_record")
        entry = rows.get(category__name="Ribeye")
        peak_c = float(entry.peak_c or MIDDLE[2][0])
        for shows, image in (
            (EntryPhoto.Shows.BOX, draw_box(len(name))),
            (EntryPhoto.Shows.CUT, draw_cut(peak_c)),
        ):
            _keep(season, entry, shows, image)


def _keep(season: Season, entry: Entry, shows: EntryPhoto.Shows, image: Image.Image) -> None:
    drawn = BytesIO()
    image.save(drawn, "PNG")
    note = "A drawing for the demo season"
    shown = add_photo(entry=entry, upload=drawn, shows=shows, note=note, by=season.people["tamsin"])
    if entry.window_opens_at:  # taken as the lid was about to close
        shown.photo.taken_at = entry.window_opens_at - timedelta(minutes=4)
        shown.photo.save(update_fields=["taken_at"])


def draw_box(turn: int) -> Image.Image:
    """An open turn-in box from above with one steak in it; `turn` lays the grill marks."""
    image, pen = _sheet(TABLE)
    pen.rounded_rectangle(_fine(130, 18, 510, 420), _one(26), fill=FOLD)
    pen.rounded_rectangle(_fine(150, 38, 490, 400), _one(20), fill=FOAM)
    steak = Image.new("L", image.size, 0)
    shape = ImageDraw.Draw(steak)
    shape.ellipse(_fine(190, 110, 400, 350), fill=255)
    shape.ellipse(_fine(280, 150, 455, 370), fill=255)
    meat = Image.new("RGB", image.size, CRUST)
    marks = ImageDraw.Draw(meat)
    slope = 60 + 10 * (turn % 7)
    for start in range(100, 640, 52):
        marks.line(_fine(start, 90, start - slope, 390), fill=BAR, width=_one(13))
    image.paste(meat, mask=steak)
    return _signed(image)


def draw_cut(peak_c: float) -> Image.Image:
    """A steak cut open on a plate; its middle is coloured by the peak it came to. [°C]"""
    image, pen = _sheet(TABLE)
    pen.ellipse(_fine(60, 20, 580, 450), fill=RIM)
    pen.ellipse(_fine(95, 48, 545, 422), fill=PLATE)
    left, top, right, foot = 135, 165, 505, 305
    pen.rounded_rectangle(_fine(left, top, right, foot), _one(48), fill=CRUST)
    middle, layers = _middle(peak_c), 46
    for layer in range(layers):
        inside = 9 + layer
        colour = _mixed(GREY_BAND, middle, min(1, layer / 26))
        box = _fine(left + inside, top + inside, right - inside, foot - inside)
        pen.rounded_rectangle(box, _one(max(48 - inside, 8)), fill=colour)
    return _signed(image)


def _sheet(colour: str) -> tuple[Image.Image, ImageDraw.ImageDraw]:
    image = Image.new("RGB", (SIZE[0] * FINE, SIZE[1] * FINE), colour)
    return image, ImageDraw.Draw(image)


def _signed(image: Image.Image) -> Image.Image:
    """At its own size, with what it is written on it."""
    image = image.resize(SIZE, Image.Resampling.LANCZOS)
    pen = ImageDraw.Draw(image)
    pen.text((14, SIZE[1] - 46), WORDS, fill=INK, font=ImageFont.load_default(36))
    return image


def _fine(*points: int) -> tuple[int, ...]:
    return tuple(point * FINE for point in points)


def _one(length: int) -> int:
    return length * FINE


def _middle(peak_c: float) -> Colour:
    """Between the colours on both sides of this peak."""
    for (low, one), (high, other) in pairwise(MIDDLE):
        if peak_c <= high:
            return _mixed(one, other, max(0, (peak_c - low) / (high - low)))
    return MIDDLE[-1][1]


def _mixed(one: Colour, other: Colour, part: float) -> Colour:
    red, green, blue = (round(a + (b - a) * part) for a, b in zip(one, other, strict=True))
    return red, green, blue
