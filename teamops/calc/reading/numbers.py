"""Numbers and places as lists print them: 182,5 and 1,234.5, 8½, T-3, =3, 3rd."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

HALF = re.compile(r"½|\s?1/2(?!\d)")
UNIT = re.compile(r"\s*(?:pts?|points?|p)\.?$", re.IGNORECASE)
GROUPED = re.compile(r"\d{1,3}(?:[,.’' ]\d{3})+")
SHAPE = re.compile(r"([+\-−–]?)(\d+)(?:\.(\d*))?|([+\-−–]?)\.(\d+)", re.ASCII)
PLACE = re.compile(
    r"(?P<before>t|tied?|=)?\s*[-.]?\s*#?\s*(?P<place>\d{1,5})(?:\.0+)?\s*"
    r"(?:st|nd|rd|th|er|e|[.):°º]{1,2})?\s*(?P<after>t|tied?|\(t\)|\(tied?\)|=|\*)?",
    re.IGNORECASE | re.ASCII,
)
KEPT = 16_384  # cells whose reading is remembered: each is looked at several times
LARGEST_GROUPED = 20_000  # 167,440 is 167.44 rather than a total of so many thousands
OUT = {
    "dq": "disqualified",
    "dsq": "disqualified",
    "disq": "disqualified",
    "disqualified": "disqualified",
    "dns": "did not start",
    "did not start": "did not start",
    "no show": "did not start",
    "dnt": "did not turn in",
    "did not turn in": "did not turn in",
    "no turn in": "did not turn in",
    "dnf": "did not finish",
    "did not finish": "did not finish",
    "dnc": "did not compete",
    "wd": "withdrawn",
    "w/d": "withdrawn",
    "withdrawn": "withdrawn",
    "scratched": "withdrawn",
}


@dataclass(frozen=True, slots=True)
class PlaceRead:
    """A place as printed; `shared` where the print itself says so."""

    place: int
    shared: bool


@lru_cache(maxsize=KEPT)
def place_in(text: str) -> PlaceRead | None:
    """The place that a cell says (“3rd”, “T-3”, “=3”, “3.”), or None; there is no 0th."""
    match = PLACE.fullmatch(" ".join(text.split()))
    if match is None or not int(match["place"]):
        return None
    after = match["after"] or ""
    return PlaceRead(int(match["place"]), bool(match["before"] or after.strip("*")))


@lru_cache(maxsize=KEPT)
def number_in(text: str, mark: str = ".") -> Decimal | None:
    """
    The number that a cell says, or None where it says none.

    `mark` is the sign of the decimals in its column; a lone comma that parts no thousands is one
    too, as where marks are typed by hand. Units such as “pts” are passed over.
    """
    text = UNIT.sub("", " ".join(text.split()))
    body, half = HALF.subn("", text)
    body = body.strip()
    if body.startswith("(") and body.endswith(")"):
        body = body[1:-1].strip()
    if half > 1 or (half and not body):
        return Decimal("0.5") if half == 1 else None
    other = "," if mark == "." else "."
    for sign in (other, " ", "’", "'"):
        if sign in body and re.fullmatch(_thousands(sign, mark), body):
            body = body.replace(sign, "")
    if body.count(",") == 1 and "." not in body:
        body = body.replace(",", ".")
    match = SHAPE.fullmatch(body)
    if match is None or (half and match[3]):
        return None
    number = Decimal(f"{match[2] or 0}.{'5' if half else match[3] or match[5] or 0}")
    sign = match[1] or match[4]
    return -number if sign and sign != "+" else number


def _thousands(sign: str, mark: str) -> str:
    return rf"[+\-−–]?\d{{1,3}}(?:{re.escape(sign)}\d{{3}})+(?:{re.escape(mark)}\d*)?"


def mark_of(cells: Iterable[str]) -> str:
    """The sign before the decimals in a column of numbers: a point, or a comma."""
    with_comma = []
    with_point = False
    for cell in (" ".join(cell.split()) for cell in cells):
        if "," in cell and "." in cell:
            return "," if cell.rfind(",") > cell.rfind(".") else "."
        with_point |= bool(re.search(r"\d\.\d", cell))
        if re.search(r"\d,\d", cell):
            with_comma.append(cell)
    if not with_comma:
        return "."
    if not all(GROUPED.fullmatch(UNIT.sub("", cell)) for cell in with_comma):
        return ","
    if with_point:
        return "."
    largest = max(int(re.sub(r"\D", "", cell)) for cell in with_comma)
    return "," if largest > LARGEST_GROUPED else "."


@lru_cache(maxsize=KEPT)
def out_in(text: str) -> str:
    """Why an entry is out, where a cell says so (“DQ”, “DNT”); else nothing."""
    return OUT.get(" ".join(text.casefold().split()).strip(" .()*"), "")
