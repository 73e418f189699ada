"""Text into lines, and lines into cells."""

import csv
import re
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from teamops.calc.reading.numbers import number_in, out_in, place_in
from teamops.calc.reading.records import MOST_COLUMNS, Separator

RULE = re.compile(r"[\s\-=_|+:.–—*~#·•]*")
LEADERS = re.compile(r"\.{3,}|…+|_{3,}|·{3,}")
NOT_SEEN = re.compile("[\u200b-\u200f\u2060\ufeff\xad\0]")
BREAKS = re.compile(r"\r\n?|\f|\v|\x85|\u2028|\u2029")
BULLET = re.compile(r"^\s*[•●▪◦*]\s+")
MEDALS = {"🥇": "1", "🥈": "2", "🥉": "3"}
MEDAL = re.compile(f"([{''.join(MEDALS)}🏅🏆])\\s*")
PLACE_WORD = re.compile(r"^(\s*\d{1,3}(?:st|nd|rd|th)) place\b\s*[:–—-]?", re.IGNORECASE)
UNIT = re.compile(r"(?<=[\d½)]) (?=(?:pts?|points?)\b)", re.IGNORECASE)
CELL = re.compile(r"\S+(?: \S+)*")
CLEAN_COMMA = re.compile(r",(?!\d)|(?<!\d),")
SIGNS = {Separator.TAB: "\t", Separator.PIPE: "|", Separator.SEMICOLON: ";", Separator.COMMA: ","}
ENOUGH = 0.5  # of the lines must come apart by a sign, for it to be the one


@dataclass(slots=True)
class Cut:
    """One line in cells; `spans` are where they stand in it, where only spaces part them."""

    at: int
    text: str
    cells: list[str]
    spans: list[tuple[int, int]] = field(default_factory=list)


def lines_of(text: str) -> list[tuple[int, str]]:
    """The lines that say something, with their place in the text, 1 first."""
    text = NOT_SEEN.sub("", BREAKS.sub("\n", text)).replace("\xa0", " ")
    lines = []
    for at, line in enumerate(text.split("\n"), start=1):
        line = PLACE_WORD.sub(r"\1", BULLET.sub("", MEDAL.sub(_medal, line)))
        line = UNIT.sub("", LEADERS.sub("   ", line)).rstrip(" ")
        if not RULE.fullmatch(line):
            lines.append((at, line))
    return lines


def _medal(found: re.Match[str]) -> str:
    place = MEDALS.get(found[1], "")
    return f"{place} " if place else " "


def separator_of(lines: Sequence[tuple[int, str]]) -> Separator:
    """What parts the cells of most lines."""
    for sign in (Separator.TAB, Separator.PIPE, Separator.SEMICOLON, Separator.SPACES):
        # a web page's column of single cells may end every line with a tab
        if _parts_most([len(_cells(line.rstrip(), sign)) for _, line in lines]):
            return sign
    if _parts_most([len(CLEAN_COMMA.split(line)) for _, line in lines]):
        return Separator.COMMA
    counts = [len(_quoted(line, ",")) for _, line in lines]
    if _parts_most(counts) and Counter(counts).most_common(1)[0][0] > 2:
        return Separator.COMMA  # 1,Oak and Ash,12,182.5; two cells alone may be a decimal comma
    return Separator.STACKED if stacks(lines) else Separator.WORDS


def _parts_most(counts: Sequence[int]) -> bool:
    """Whether most lines come apart, and most of those into as many cells, one more or less."""
    wide = [count for count in counts if count > 1]
    if not wide or len(wide) < ENOUGH * len(counts):
        return False
    usual, _ = Counter(wide).most_common(1)[0]
    return sum(abs(count - usual) <= 1 for count in wide) >= ENOUGH * len(wide)


def cut(lines: Sequence[tuple[int, str]], separator: Separator) -> list[Cut]:
    """Every line in cells; a line broken in two is put together, and stands where it began."""
    if separator is Separator.STACKED:
        return _stacked(lines)
    if separator is Separator.WORDS:
        return _by_words(lines)
    if separator is Separator.SPACES:
        return _unwrapped([_spaced(at, line) for at, line in lines])
    if separator is Separator.COMMA:
        return _mended(_by_sign(lines, _comma_cells(lines)))
    return _mended(_by_sign(lines, lambda line: _cells(line, separator)))


def _cells(line: str, separator: Separator) -> list[str]:
    if separator is Separator.SPACES:
        return CELL.findall(line.replace("\t", "   "))
    if separator is Separator.PIPE:
        line = line.strip().removeprefix("|").removesuffix("|")
    return _quoted(line, SIGNS[separator])


def _quoted(line: str, sign: str) -> list[str]:
    """Cells, of which some may be in quotes as spreadsheets put them."""
    if '"' in line and line.count('"') % 2 == 0:
        return [cell.strip() for cell in next(csv.reader([line], delimiter=sign))]
    return [cell.strip() for cell in line.split(sign)]


def _comma_cells(lines: Sequence[tuple[int, str]]) -> Callable[[str], list[str]]:
    """How lines come apart by commas: those between digits are decimals where others have room."""
    text = "\n".join(line for _, line in lines)
    clean, roomy = len(CLEAN_COMMA.findall(text)), len(re.findall(r",[ \n]", f"{text}\n"))
    if clean and roomy == clean:
        return lambda line: [cell.strip() for cell in CLEAN_COMMA.split(line)]
    return lambda line: _quoted(line, ",")


def _by_sign(lines: Sequence[tuple[int, str]], cells: Callable[[str], list[str]]) -> list[Cut]:
    """Cells by a sign; a cell in quotes may go on on the next lines."""
    cuts: list[Cut] = []
    begun: tuple[int, str] | None = None
    for index, (at, line) in enumerate(lines):
        if begun is not None:
            at, line = begun[0], f"{begun[1]} {line.strip()}"
        odd = line.count('"') % 2 and re.search(r'(?:^|[\t;,|]) {0,3}"', line)
        begun = (at, line) if odd and _closes(lines[index + 1 : index + 4]) else None
        if begun is None:
            cuts.append(Cut(at, line, cells(line)))
    return cuts


def _closes(lines: Sequence[tuple[int, str]]) -> bool:
    return any(re.search(r'"\s*(?:[\t;,|]|$)', line) for _, line in lines)


def _mended(cuts: list[Cut]) -> list[Cut]:
    """A record broken within a cell: two short lines that together have as many cells as usual."""
    usual = usual_width(cuts)
    mended: list[Cut] = []
    for one in cuts:
        last = mended[-1] if mended else None
        width = len(last.cells) + len(one.cells) - 1 if last else 0
        broken = last is not None and max(len(last.cells), len(one.cells)) < usual == width
        if last is not None and broken and any(last.cells) and not out_in(last.cells[-1]):
            last.cells[-1:] = [f"{last.cells[-1]} {one.cells[0]}".strip(), *one.cells[1:]]
            last.text += f" {one.text.strip()}"
        else:
            mended.append(one)
    return mended


def usual_width(cuts: Sequence[Cut]) -> int:
    """How many cells a line has most often, among those that have several."""
    widths = Counter(len(one.cells) for one in cuts if len(one.cells) > 1)
    return min(widths.most_common(1)[0][0], MOST_COLUMNS) if widths else 1


def _spaced(at: int, line: str) -> Cut:
    line = line.replace("\t", "   ")
    found = list(CELL.finditer(line))
    return Cut(at, line, [one.group() for one in found], [one.span() for one in found])


def _unwrapped(cuts: list[Cut]) -> list[Cut]:
    """A name that goes on below itself, put together."""
    whole: list[Cut] = []
    for one in cuts:
        place = _below(whole[-1], one) if whole else None
        if place is None:
            whole.append(one)
        else:
            whole[-1].cells[place] += f" {one.cells[0]}"
            whole[-1].text += f" {one.text.strip()}"
    return whole


def _below(above: Cut, one: Cut) -> int | None:
    """Which words of the line above a lone, indented piece of words goes on with."""
    if len(one.cells) > 1 or len(above.cells) < 2 or re.search(r"\d", one.text):
        return None
    start, stop = one.spans[0]
    for index, (left, right) in enumerate(above.spans):
        words = re.search(r"[^\W\d]{2}", above.cells[index])
        if start >= 2 and words and left <= start + 1 and start < right and stop - start < 60:
            return index
    return None


def stacks(lines: Sequence[tuple[int, str]]) -> list[list[tuple[int, str]]]:
    """The lines entry by entry where each cell has its own; none where that is not so."""
    stacked: list[list[tuple[int, str]]] = []
    expected = 1
    for at, line in lines:
        read = place_in(line)
        place = read.place if read else 0
        follows = expected - 1 <= place <= expected + 3 and len(stacked[-1]) > 1 if stacked else 0
        if place and (follows or (not stacked and place == 1)):
            stacked.append([])
            expected = place + 1
        if stacked:
            stacked[-1].append((at, line))
    widths = Counter(map(len, stacked))
    if len(stacked) < 3 or len(stacked) * 2 > len(lines):
        return []
    usual, times = widths.most_common(1)[0]
    return stacked if 2 <= usual <= 12 and times * 2 >= len(stacked) else []


def _stacked(lines: Sequence[tuple[int, str]]) -> list[Cut]:
    groups = stacks(lines)
    if not groups:
        return [Cut(at, line, [line.strip()]) for at, line in lines]
    usual = Counter(map(len, groups)).most_common(1)[0][0]
    first = groups[0][0][0]
    before = [line for line in lines if line[0] < first]
    heads = [before[-usual:]] if len(before) >= usual else []
    loose = before[: len(before) - usual] if heads else before
    cuts = [Cut(at, line, [line.strip()]) for at, line in loose]
    for group in [*heads, *groups]:
        cells = [line.strip() for _, line in group]
        cuts.append(Cut(group[0][0], "  ".join(cells), cells[:usual]))
        # what stands after the last cell of an entry is no part of it: the foot of a page
        cuts += [Cut(at, line, [line.strip()]) for at, line in group[usual:]]
    return cuts


def _by_words(lines: Sequence[tuple[int, str]]) -> list[Cut]:
    """Place, name and numbers parted by single spaces; as many numbers as most lines end with."""
    lines = _joined(lines)
    taken = [_ends(line.split()) for _, line in lines]
    telling = sum(has_place or numbers > 0 for has_place, numbers, _ in taken)
    with_place = sum(has_place for has_place, _, _ in taken) >= 0.6 * max(telling, 1)
    usual = _usual_end([numbers for _, numbers, _ in taken], [has for has, _, _ in taken])
    status = any(word for _, _, word in taken)
    return [
        Cut(at, line, _words(line.split(), one, usual, with_place=with_place, status=status))
        for (at, line), one in zip(lines, taken, strict=True)
    ]


def _usual_end(numbers: Sequence[int], placed: Sequence[bool]) -> int:
    """With how many numbers lines end: as many as nearly all do, more belong to names."""
    ending = [number for number in numbers if number]
    if len(ending) < ENOUGH * sum(placed):
        return 0  # a few names end in a number, and nothing else does
    usual = max(ending, default=0)
    while usual and sum(number >= usual for number in ending) < 0.8 * len(ending):
        usual -= 1
    return usual


def _joined(lines: Sequence[tuple[int, str]]) -> list[tuple[int, str]]:
    """A line with a place and no number goes on in the next, if that has a number and no place."""
    joined: list[tuple[int, str]] = []
    open_line = False
    for at, line in lines:
        has_place, numbers, status = _ends(line.split())
        if open_line and numbers and not has_place:
            joined[-1] = (joined[-1][0], f"{joined[-1][1]} {line.strip()}")
            has_place = False
        else:
            joined.append((at, line))
        open_line = has_place and not numbers and not status
    return joined


def _ends(words: list[str]) -> tuple[bool, int, str]:
    """Whether a line opens with a place, with how many numbers it ends, and a status after them."""
    has_place = len(words) > 1 and place_in(words[0]) is not None
    status = words[-1] if len(words) > 1 and out_in(words[-1]) else ""
    rest = words[int(has_place) : len(words) - bool(status)]
    numbers = 0
    while numbers < len(rest) - 1 and number_in(rest[-1 - numbers]) is not None:
        numbers += 1
    return has_place, numbers, status


def _words(
    words: list[str],
    ends: tuple[bool, int, str],
    usual: int,
    *,
    with_place: bool,
    status: bool,
) -> list[str]:
    has_place, numbers, word = ends
    start, stop = int(has_place and with_place), len(words) - bool(word)
    count = min(numbers, usual)
    name = " ".join(words[start : stop - count]).strip(" -–—:|,")
    cells = [words[0] if start else ""] * with_place
    cells += [name, *[""] * (usual - count), *words[stop - count : stop]]
    return [*cells, word] if status else cells
