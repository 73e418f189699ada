"""A pasted list read: what its columns are, which lines are entries, and what those say."""

from collections.abc import Collection, Mapping, Sequence
from decimal import Decimal

from teamops.calc.reading.guess import guess
from teamops.calc.reading.layout import to_columns
from teamops.calc.reading.numbers import number_in, out_in, place_in
from teamops.calc.reading.records import (
    MOST_CHARACTERS,
    MOST_ROWS,
    Column,
    FieldRow,
    Kind,
    Line,
    Meaning,
    Reading,
    Separator,
    Unreadable,
)
from teamops.calc.reading.split import Cut, cut, lines_of, separator_of
from teamops.calc.reading.vocabulary import PAGE, headings_in, is_sum, meaning_of, plain_words

LONGEST = {Meaning.NAME: 120, Meaning.NUMBER: 20, Meaning.TABLE: 20, Meaning.NOTE: 80}
LARGEST_PLACE = 32_767
LARGEST_TOTAL = Decimal(10) ** 6


def read(
    text: str,
    *,
    criteria: Collection[str] = (),
    separator: Separator | None = None,
    meanings: Mapping[int, Meaning] | None = None,
) -> Reading:
    """
    A list as pasted, understood as well as it can be.

    `criteria` are names that heads of columns may have; `separator` and `meanings` (by column, 0
    first) overrule the guess, also about which lines are entries. Refuses
    (Unreadable, a sentence) what is longer than `MOST_CHARACTERS` or `MOST_ROWS`.
    """
    if len(text) > MOST_CHARACTERS:
        raise Unreadable(f"This is too long: at most {MOST_CHARACTERS:,} characters at once.")
    lines = lines_of(text)
    known = frozenset(plain_words(name) for name in criteria)
    guessed = separator or separator_of(lines)
    reading = _read_as(lines, guessed, known, meanings)
    if separator is None and guessed is Separator.SPACES and _leaves_out(reading):
        # wide gaps here and there, single spaces elsewhere: typed by hand, or cut from a page
        by_words = _read_as(lines, Separator.WORDS, known, meanings)
        if _understood(by_words) > _understood(reading):
            return by_words
    return reading


def _leaves_out(reading: Reading) -> bool:
    """Whether a fifth of the lines or more is taken for no entry."""
    return 5 * sum(not line.kept for line in reading.lines) >= len(reading.lines)


def _understood(reading: Reading) -> int:
    """How many entries a reading has found whole: a name, a place and points."""
    rows = field_rows(reading)
    return sum(
        bool(row.name and row.placing and (row.total is not None or row.parts)) for row in rows
    )


def _read_as(
    lines: Sequence[tuple[int, str]],
    separator: Separator,
    known: frozenset[str],
    meanings: Mapping[int, Meaning] | None,
) -> Reading:
    cuts = cut(lines, separator)
    if len(cuts) > MOST_ROWS:
        raise Unreadable(f"These are {len(cuts):,} lines: at most {MOST_ROWS:,} at once.")
    rows = to_columns(cuts)
    kinds = _kinds(cuts, rows, known)
    headings = _headings(cuts, rows, kinds, known)
    entries = [row for row, kind in zip(rows, kinds, strict=True) if kind is Kind.ENTRY]
    reading = Reading(separator, guess(entries, headings, known), ())
    columns = reading.with_meanings(meanings or {}).columns
    return Reading(separator, columns, tuple(_lines(cuts, rows, kinds, columns)))


def _kinds(cuts: Sequence[Cut], rows: list[list[str]], known: frozenset[str]) -> list[Kind]:
    """What each line is at first sight."""
    kinds: list[Kind] = []
    for one, row in zip(cuts, rows, strict=True):
        if _is_heading(one, row, known):
            kinds.append(Kind.REPEATED if Kind.HEADING in kinds else Kind.HEADING)
        elif any(PAGE.fullmatch(cell) for cell in row):
            kinds.append(Kind.WORDS)
        elif any(is_sum(cell) for cell in row[:3]) and not place_in(row[0]):
            kinds.append(Kind.SUM)
        elif len(row) > 1 and sum(map(bool, row)) < 2:
            kinds.append(Kind.WORDS)
        else:
            kinds.append(Kind.ENTRY)
    first = kinds.index(Kind.ENTRY) if Kind.ENTRY in kinds else len(rows)
    if Kind.HEADING not in kinds and _heads_numbers(rows[first:]):
        kinds[first] = Kind.HEADING
    return kinds


def _heads_numbers(rows: list[list[str]]) -> bool:
    """Whether the first line has only words, two at least, and numbers stand below one of them."""
    if (
        len(rows) < 2
        or sum(map(bool, rows[0])) < 2
        or any(number_in(cell) is not None for cell in rows[0])
    ):
        return False
    for index, cell in enumerate(rows[0]):
        below = [row[index] for row in rows[1:] if row[index]]
        numbers = [text for text in below if number_in(text) is not None or place_in(text)]
        if cell and not out_in(cell) and len(numbers) * 2 > len(below):
            return True
    return False


def _is_heading(one: Cut, row: Sequence[str], known: frozenset[str]) -> bool:
    if len(headings_in(one.text.replace("|", " "), known)) > 1:
        return True
    cells = [cell for cell in row if cell]
    told = sum(bool(meaning_of(cell, known)) for cell in cells)
    numbers = sum(number_in(cell) is not None for cell in cells)
    return len(cells) > 1 and told * 2 >= len(cells) and not numbers


def _headings(
    cuts: Sequence[Cut], rows: list[list[str]], kinds: list[Kind], known: frozenset[str]
) -> list[str]:
    """The heads of the columns as printed, empty ones where there are none."""
    width = len(rows[0]) if rows else 0
    if Kind.HEADING not in kinds:
        return [""] * width
    index = kinds.index(Kind.HEADING)
    row = rows[index]
    words = headings_in(cuts[index].text, known)
    if len(words) == width and sum(map(bool, row)) < width:
        return words
    if cuts[index].spans or sum(map(bool, row)) > 1 or len(words) < 2:
        return row
    entries = [one for one, kind in zip(rows, kinds, strict=True) if kind is Kind.ENTRY]
    return _over(words, entries, width)


def _over(words: Sequence[str], entries: Sequence[Sequence[str]], width: int) -> list[str]:
    """
    Heads parted by single spaces, over the columns of as many or fewer cells.

    A last column of DQ and the like has none; the first and the last heads keep to their ends, and
    what is too many falls out behind the name.
    """
    status = all(not row[-1] or out_in(row[-1]) for row in entries)
    width -= status
    if len(words) > width > 2:
        words = [*words[:2], *words[len(words) - (width - 2) :]]
    heads = [*words[:2], *[""] * (width - len(words)), *words[2:]]
    return [*heads, *[""] * status][: width + status]


def _lines(
    cuts: Sequence[Cut],
    rows: list[list[str]],
    kinds: Sequence[Kind],
    columns: tuple[Column, ...],
) -> list[Line]:
    told = {column.meaning for column in columns} - {Meaning.NAME, Meaning.COOK, Meaning.SKIP}
    lines = []
    for one, row, kind in zip(cuts, rows, kinds, strict=True):
        if kind is Kind.ENTRY:
            entry = _row(Line(one.at, tuple(row), kind, True), columns)
            named = entry.name or entry.number or entry.cook
            ranked = entry.placing or entry.total is not None or entry.out
            points = any(number_in(value) is not None for _, value in entry.parts)
            more = entry.number or entry.table or points
            if not named or (not (ranked or more) and (told or _is_sentence(one.text))):
                kind = Kind.WORDS
        lines.append(Line(one.at, tuple(row), kind, kind is Kind.ENTRY))
    return lines


def _is_sentence(text: str) -> bool:
    return text.strip().endswith((".", "!", "?", ":")) or len(text.split()) > 6


def out_of(note: str) -> str:
    """Why an entry is out, as its note says among other things; else nothing."""
    return next(filter(None, map(out_in, note.split("; "))), "")


def field_rows(reading: Reading) -> tuple[FieldRow, ...]:
    """What the lines that are kept say, in their order."""
    return tuple(_row(line, reading.columns) for line in reading.lines if line.kept)


def _row(line: Line, columns: Sequence[Column]) -> FieldRow:
    """One entry; what is out of its column goes to the note, what cannot be read is said."""
    placing, shared, total, out = None, False, None, ""
    parts: list[tuple[str, str]] = []
    texts: dict[Meaning, list[str]] = {}
    says: list[str] = []
    for column, cell in zip(columns, line.cells, strict=True):
        meaning = column.meaning
        if not cell or meaning is Meaning.SKIP:
            continue
        why_out = out_in(cell) if meaning not in (Meaning.NAME, Meaning.COOK) else ""
        if why_out:
            out = why_out
            texts.setdefault(Meaning.NOTE, []).insert(0, cell)  # first: the note may be cut
        elif meaning is Meaning.PLACE:
            placing, shared = _place(cell, says)
        elif meaning is Meaning.TOTAL:
            total = _total(cell, column, says)
        elif meaning is Meaning.PART:
            number = number_in(cell, column.mark)
            parts.append((column.heading, cell if number is None else f"{number.normalize():f}"))
        else:
            texts.setdefault(meaning, []).append(cell)
    words = {meaning: _fitting(cells, meaning, says) for meaning, cells in texts.items()}
    return FieldRow(
        line.at,
        placing=placing,
        shared=shared,
        name=words.get(Meaning.NAME, ""),
        cook=words.get(Meaning.COOK, ""),
        number=words.get(Meaning.NUMBER, "").removeprefix("#").strip(),
        table=words.get(Meaning.TABLE, ""),
        total=total,
        parts=tuple(parts),
        note=words.get(Meaning.NOTE, ""),
        out=out,
        says=tuple(says),
    )


def _place(cell: str, says: list[str]) -> tuple[int | None, bool]:
    place = place_in(cell)
    if place is None or place.place > LARGEST_PLACE:
        says.append(f"“{_short(cell)}” is no place.")
        return None, False
    return place.place, place.shared


def _total(cell: str, column: Column, says: list[str]) -> Decimal | None:
    total = number_in(cell, column.mark)
    if total is None:
        says.append(f"“{_short(cell)}” is no total.")
        return None
    if abs(total) > LARGEST_TOTAL - 1:
        says.append(f"The total {_short(cell)} is too large to keep.")
        return None
    kept = round(total, 4)
    if kept != total:
        says.append(f"The total {_short(cell)} is kept to four places.")
    return kept


def _fitting(cells: Sequence[str], meaning: Meaning, says: list[str]) -> str:
    text = ("; " if meaning is Meaning.NOTE else " ").join(cells)
    longest = LONGEST.get(meaning, 120)
    if len(text) > longest:
        says.append(f"“{_short(text)}” is kept to {longest} letters.")
        return f"{text[: longest - 1]}…"
    return text


def _short(text: str) -> str:
    return text if len(text) <= 24 else f"{text[:23]}…"
