"""What a judge wrote into a box of the sheet, read as one mark where it can be.

`static/js/paper.js` reads the same strings the same way; `tests/judging/paper_cells.py` is the
table that both are held to.
"""

import re
from dataclasses import dataclass
from decimal import Decimal

from teamops.calc.reading.numbers import out_in
from teamops.calc.words import plain

LONGEST = 40  # what a mark keeps of the paper's own words
DIGITS, PLACES = 4, 3  # what the column of a mark holds
NUMBER = re.compile(r"(?=.*[\d½])(\d*)(?:[.,](\d*))?(½?)", re.ASCII)
HALF = re.compile(r"(\d+) (?:1/2|½)", re.ASCII)
FRILLS = re.compile(r"^[+~(\[≈]+|[+\-−–—?!*)\]']+$")  # a plus, brackets, a question mark
WITH_O = re.compile(r"[\d.,½OoØø]+", re.ASCII)  # a letter O among digits is a 0
TWO = re.compile(r"\d½?\s*(?:[/|\\;&→>\-−–—\s]|or|then|and)+\s*\d", re.ASCII | re.IGNORECASE)
MINUS = re.compile(r"[-−–—]\s*[\d.,½]", re.ASCII)
NOTHING = re.compile(r"[-−–—./x×]+", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class PaperMark:
    """One box of a sheet: the number it is read as, and what it says where that is odd. [points]"""

    points: Decimal | None = None
    said: str = ""

    @property
    def is_blank(self) -> bool:
        """Whether nothing stands in the box."""
        return self.points is None and not self.said


BLANK = PaperMark()


def read_paper(text: str) -> PaperMark:
    """
    What stands in a box, as a mark.

    A plain number (8, 8.5, 8,5, 8½, 8 1/2) is that number. One number with something odd about it
    (8+, 8?, O for 0) is the number, and `said` keeps the box. What is no one number (8/9, DNT, a
    dash, less than nothing, more digits than a mark has) is a blank, and `said` keeps the box.
    Takes any text; who calls refuses what is longer than LONGEST.
    """
    text = " ".join(text.split())
    if not text:
        return BLANK
    points = _number(text)
    if points is not None:
        return PaperMark(points)
    bare = FRILLS.sub("", text).strip()
    digits = re.sub("[OoØø]", "0", bare) if WITH_O.fullmatch(bare) else bare
    return PaperMark(_number(digits), text)


def said_words(name: str, mark: PaperMark) -> str:
    """What is odd about a box, in words; nothing where the paper simply gives a number."""
    if not mark.said:
        return ""
    quote = f"{name}: the paper says “{mark.said}”"
    if mark.points is not None:
        return f"{quote}, read as {plain(mark.points)}."
    return f"{quote}{_why_no_number(mark.said)}"


def _number(text: str) -> Decimal | None:
    """The number that a text is and nothing more, if a mark's column can hold it."""
    half = HALF.fullmatch(text)
    match = NUMBER.fullmatch(f"{half[1]}½" if half else text)
    if match is None or (match[2] and match[3]):
        return None
    whole, part = match[1].lstrip("0"), "5" if match[3] else (match[2] or "").rstrip("0")
    if len(whole) > DIGITS or len(part) > PLACES:
        return None
    return Decimal(f"{whole or 0}.{part or 0}")


def _why_no_number(said: str) -> str:
    """Why a box is counted as blank, after its words were quoted."""
    out = out_in(said)
    if out:
        return f" ({out}): no mark, counted as blank."
    if MINUS.match(said):
        return ", less than nothing: ask. Counted as blank till then."
    if NOTHING.fullmatch(said):
        return ": no mark, counted as blank."
    if TWO.search(said):
        return ": two values, ask which one holds. Counted as blank till then."
    match = NUMBER.fullmatch(said)
    if match and not (match[2] and match[3]):
        return ": too long for a mark. Counted as blank."
    return ", which is no number: ask. Counted as blank till then."
