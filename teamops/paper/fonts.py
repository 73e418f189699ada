"""The faces on paper and how wide they set: DejaVu, as matplotlib carries it."""

from dataclasses import dataclass, field
from enum import Enum
from functools import cache, cached_property
from importlib.util import find_spec
from pathlib import Path
from threading import Lock
from typing import NamedTuple

from reportlab.pdfbase.pdfmetrics import registerFont
from reportlab.pdfbase.ttfonts import TTFont

# The parsed fonts are shared by every sheet of this process, and reportlab moves a reading
# position inside them when it writes a PDF: two threads must not do so at once.
FONT_LOCK = Lock()


@dataclass(frozen=True)
class Face:
    """One registered font: its name for reportlab, and each character's width in em."""

    name: str
    widths: dict[str, float] = field(repr=False)

    def width(self, text: str, size: float) -> float:
        """How wide clean `text` sets at `size`, in points; unknown characters count as 0."""
        widths = self.widths
        return size * sum([widths.get(char, 0.0) for char in text])


class Style(Enum):
    """The three styles a sheet is set in."""

    BODY = "DejaVuSans"
    BOLD = "DejaVuSans-Bold"
    HEAD = "DejaVuSerif-Bold"

    @cached_property
    def face(self) -> Face:
        return _load(self.value)


class Hand(NamedTuple):
    """How words are set: style, size and distance from line to line, both in points."""

    style: Style
    size: float
    leading: float

    def fitting(self, text: str) -> "Hand":
        """The same hand, or in bold sans for a head in a script that the serif lacks."""
        if self.style is Style.HEAD and not self.style.face.widths.keys() >= set(text) - {"\n"}:
            return self._replace(style=Style.BOLD)
        return self

    def width(self, text: str) -> float:
        """How wide clean `text` sets, in points."""
        return self.style.face.width(text, self.size)


@cache
def drawable() -> frozenset[str]:
    """Every character that both sans faces draw."""
    return frozenset(Style.BODY.face.widths.keys() & Style.BOLD.face.widths.keys())


@cache
def _load(name: str) -> Face:
    """Register the font for reportlab; FileNotFoundError if matplotlib is not installed."""
    font = TTFont(f"paper-{name}", str(_folder() / f"{name}.ttf"), asciiReadable=False)
    registerFont(font)
    widths = {chr(code): font.face.charWidths[code] / 1000 for code in font.face.charToGlyph}
    return Face(font.fontName, widths)


def _folder() -> Path:
    """Where matplotlib keeps its fonts, found without the seconds its import takes."""
    spec = find_spec("matplotlib")
    if spec is None or not spec.submodule_search_locations:
        raise FileNotFoundError("the fonts come with matplotlib, which is not installed")
    return Path(spec.submodule_search_locations[0]) / "mpl-data" / "fonts" / "ttf"
