"""From any text to lines that fit a cell: cleaned, joined, wrapped, then put in reading order."""

import re
import unicodedata
from functools import cache

from arabic_reshaper import ArabicReshaper
from bidi import get_base_level, get_display
from bidi.mirror import MIRRORED

from teamops.paper.fonts import Hand, drawable

PLACEHOLDER = "▯"
ELLIPSIS = "…"

# Hebrew, Arabic and the other right-to-left blocks, with their presentation forms.
_RIGHT_TO_LEFT = re.compile("[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufeff\U00010800-\U00010fff]")
_ARABIC = re.compile("[\u0600-\u06ff\u0750-\u077f\u08a0-\u08ff]")
# Invisible, takes the direction of the character before it, and never comes out of `clean`.
_WITNESS = "\u034f"
_PAIRED = "[" + re.escape("".join(MIRRORED)) + "]"
_TURNED = re.compile(f"({_PAIRED}){_WITNESS}|{_WITNESS}({_PAIRED})")
_LINE_BREAKS = "\n\x0b\x0c\r\x1c\x1d\x1e\x85\u2028\u2029"


def clean(text: str) -> str:
    """The same text in characters the sans faces draw, or ▯ for each they cannot; still logical.

    Line breaks of every sort become newlines, spaces plain (or unbreakable) ones; control and
    format characters, which have no shape, go, and so do spaces around it. Arabic letters take
    their joined forms.
    """
    text = text.strip()
    if text.isascii() and text.isprintable():
        return text
    text = unicodedata.normalize("NFC", text.replace("\r\n", "\n"))
    if _ARABIC.search(text):
        text = _reshaper().reshape(text)
    return text.translate(_KNOWN).strip(" \n")


def one_line(text: str, hand: Hand, width: float) -> str:
    """Clean `text` on one line at most `width` points wide, cut with … if need be."""
    return "".join(wrap(text.replace("\n", " "), hand, width, most=1))


def wrap(text: str, hand: Hand, width: float, most: int | None = None) -> tuple[str, ...]:
    """Clean `text` as lines at most `width` points wide, each in the order it is drawn.

    Breaks at spaces, and inside a word only if the word alone is too wide; a line holds one
    character at least. Beyond `most` lines the last ends with ….
    """
    plain = "\n" not in text and hand.width(text) <= width
    lines = [text] if plain else _break(text, hand, width)
    if most is not None and len(lines) > most:
        lines = [*lines[: most - 1], _cut(lines[most - 1], hand, width)]
    if text.isascii() or not _RIGHT_TO_LEFT.search(text):
        return tuple(lines)
    side = "R" if get_base_level(text) else "L"
    return tuple(_visual(line, side) for line in lines)


def _break(text: str, hand: Hand, width: float) -> list[str]:
    lines: list[str] = []
    space = hand.width(" ")
    for paragraph in text.split("\n"):
        line, used = "", 0.0
        for word in paragraph.split(" "):
            long = hand.width(word)
            if line and used + space + long <= width:
                line, used = f"{line} {word}", used + space + long
                continue
            if line:
                lines.append(line)
            if long > width:
                *full, word = _chop(word, hand, width)
                lines += full
                long = hand.width(word)
            line, used = word, long
        lines.append(line)
    return lines


def _chop(word: str, hand: Hand, width: float) -> list[str]:
    widths = hand.style.face.widths
    parts, start, used = [], 0, 0.0
    for place, char in enumerate(word):
        step = hand.size * widths.get(char, 0.0)
        if used + step > width and place > start:
            parts.append(word[start:place])
            start, used = place, 0.0
        used += step
    return [*parts, word[start:]]


def _cut(line: str, hand: Hand, width: float) -> str:
    while line and hand.width(line + ELLIPSIS) > width:
        line = line[:-1]
    return line.rstrip() + ELLIPSIS


def _visual(line: str, side: str) -> str:
    """The line from left to right as drawn; a vowel sign comes out before its letter, which is
    where DejaVu's signs are drawn to stand.

    python-bidi orders brackets but does not mirror them. A witness behind each one shows which
    way it was set: if the witness comes out in front, the bracket was turned.
    """
    line = re.sub(_PAIRED, rf"\g<0>{_WITNESS}", line)
    drawn = str(get_display(line, base_dir=side))
    return _TURNED.sub(lambda found: found[1] or _mirrored(found[2]), drawn)


def _mirrored(char: str) -> str:
    return MIRRORED[char] if MIRRORED[char] in drawable() else char


@cache
def _reshaper() -> ArabicReshaper:
    # Vowel signs are kept, and the one ligature that DejaVu lacks is not asked for.
    return ArabicReshaper({"delete_harakat": False, "ARABIC LIGATURE ALLAH": False})


class _Known(dict[int, str]):
    """Each character's printable stand-in, worked out when first met."""

    def __missing__(self, code: int) -> str:
        char = chr(code)
        shown = _shown(char)
        if shown == char:  # a bounded set; the rest is too many to remember
            self[code] = shown
        return shown


_KNOWN = _Known()


def _shown(char: str) -> str:
    if char in _LINE_BREAKS:
        return "\n"
    if char in "\u00a0\u202f\u2007":
        return "\u00a0"
    category = unicodedata.category(char)
    if category == "Zs" or char == "\t":
        return " "
    if category in ("Cc", "Cf") or _is_selector(char):
        return ""
    return char if char in drawable() else PLACEHOLDER


def _is_selector(char: str) -> bool:
    """Whether it only tells how to draw or sort its neighbours."""
    return "\ufe00" <= char <= "\ufe0f" or "\U000e0100" <= char <= "\U000e01ef" or char == _WITNESS
