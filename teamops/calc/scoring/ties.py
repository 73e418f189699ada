"""Who is ahead: placings by total, and by the tie-break steps where totals are equal."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum

from teamops.calc.scoring.records import Result
from teamops.calc.scoring.rules import ZERO, Direction, PlaceMethod, Rules
from teamops.calc.scoring.words import describe_step
from teamops.calc.words import brief, list_words


class EntryStatus(StrEnum):
    """Whether an entry is ranked: late ones count nothing, come last, or are out, by the book."""

    COUNTED = "counted"
    ZERO = "zero"
    LAST = "last"
    OUT = "out"


@dataclass(frozen=True, slots=True)
class Contender:
    """An entry to be placed: its total, and the result behind it where its sheets are known.

    `drawn` is its number in a draw that broke a tie, 1 first. [points]
    """

    label: str
    total: Decimal | None
    result: Result | None = None
    drawn: int | None = None
    status: EntryStatus = EntryStatus.COUNTED


@dataclass(frozen=True, slots=True)
class Place:
    """Where an entry came; None for one that is out or has no total.

    `decided_by` is the tie-break step that gave it this place, empty where its total did or the
    place is shared; `words` say what was compared.
    """

    label: str
    place: int | None
    total: Decimal | None
    shared: bool = False
    decided_by: str = ""
    words: str = ""


@dataclass(frozen=True, slots=True)
class StepShown:
    """One tie-break step as it was taken: what each of the tied brought to it.

    `values` are in the order of the tied; None where the number is not known. `parts` is how
    many groups it made of them: 1 where they stay level, 0 where it could not be taken.
    """

    step: str
    name: str
    values: tuple[Decimal | None, ...]
    parts: int

    @property
    def words(self) -> str:
        """What was compared and what came of it."""
        what = self.name[:1].upper() + self.name[1:]
        if self.step == "shared":
            return "The place is shared."
        if self.parts == 0:
            return "Not drawn yet." if self.step == "draw" else f"{what}: not known for all."
        numbers = list_words([brief(value) for value in self.values if value is not None])
        return f"{what}: {numbers}{', level' if self.parts == 1 else ': that decides'}."


@dataclass(slots=True)
class _Line:
    """One contender on its way down the steps."""

    entry: Contender
    total: Decimal | None
    decided_by: str = ""
    words: list[str] = field(default_factory=list)


def rank(entries: Sequence[Contender], rules: Rules) -> list[Place]:
    """Every entry's place, best first; those out or without a total come last, unplaced.

    Equal totals go down the rules' tie-break steps. A step for which any of the tied lacks its
    numbers cannot be taken, nor any after it: they share the place, and the words say so.
    """
    lines = [_Line(entry, _counted_total(entry)) for entry in entries]
    ranked = [line for line in lines if line.total is not None]
    groups: list[list[_Line]] = []
    for late in (False, True):
        some = [x for x in ranked if (x.entry.status is EntryStatus.LAST) is late]
        for group in _split(some, lambda line: line.total or ZERO, rules.direction):
            groups += _break_tie(group, rules)
    places = list(_number(groups, rules.place_method))
    return places + [_unplaced(line) for line in lines if line.total is None]


def tie_steps(tied: Sequence[Contender], rules: Rules) -> tuple[StepShown, ...]:
    """The steps that contenders of equal total go down, as far as the first that parts them all.

    The same chain as `rank` takes, shown step by step; after a step that parts only some, the
    rest are compared by `rank` among themselves, so the chain is shown up to there.
    """
    shown = []
    for step in rules.tie_break:
        values = tuple(_step_value(entry, step) for entry in tied) if step != "shared" else ()
        known = None not in values
        parts = len(set(values)) if known and values else 0
        shown.append(StepShown(step, describe_step(step, rules), values, parts))
        if parts != 1:
            break
    return tuple(shown)


def _counted_total(entry: Contender) -> Decimal | None:
    if entry.status is EntryStatus.OUT:
        return None
    return ZERO if entry.status is EntryStatus.ZERO else entry.total


def _unplaced(line: _Line) -> Place:
    out = line.entry.status is EntryStatus.OUT
    return Place(line.entry.label, None, line.entry.total, words="Out." if out else "No total.")


def _break_tie(group: list[_Line], rules: Rules) -> list[list[_Line]]:
    """Equal totals apart, as far as the steps go; best group first."""
    if len(group) > 1:
        for line in group:
            others = [other.entry.label for other in group if other is not line]
            line.words.append(f"Level on {brief(line.total or ZERO)} with {list_words(others)}.")
    return _down_the_steps(group, rules.tie_break, rules)


def _down_the_steps(group: list[_Line], steps: Sequence[str], rules: Rules) -> list[list[_Line]]:
    if len(group) < 2 or not steps or steps[0] == "shared":
        return [group]
    step, rest = steps[0], steps[1:]
    values = {id(line): _step_value(line.entry, step) for line in group}
    if None in values.values():
        unknown = [line.entry.label for line in group if values[id(line)] is None]
        what = "Not drawn yet" if step == "draw" else f"{describe_step(step, rules)} unknown"
        for line in group:
            line.words.append(f"{what[:1].upper()}{what[1:]} for {list_words(unknown)}.")
        return [group]
    split = _split(group, lambda line: values[id(line)] or ZERO, _direction(step, rules))
    if len(split) > 1:
        for line in group:
            line.decided_by = step
            line.words.append(_comparison(line, group, values, step, rules))
    return [part for some in split for part in _down_the_steps(some, rest, rules)]


def _step_value(entry: Contender, step: str) -> Decimal | None:
    """What an entry brings to a step, None where that is not known."""
    if step == "draw":
        return None if entry.drawn is None else Decimal(entry.drawn)
    result = entry.result
    if result is None or not _has_marks(result, step):
        return None
    rows = {row.key: row for row in result.criteria}
    match step.split(":"):
        case ["sum", key, "kept"]:
            return rows[key].kept_sum
        case ["sum", key, "all"]:
            return rows[key].all_sum
        case ["count_of", mark, "all"]:
            return Decimal(sum(row.all_marks.count(Decimal(mark)) for row in rows.values()))
        case ["count_of", mark, *_]:
            return Decimal(sum(row.kept_marks.count(Decimal(mark)) for row in rows.values()))
        case ["dropped_total"]:
            return result.dropped_total
    return result.head_judge_total


def _has_marks(result: Result, step: str) -> bool:
    """Whether the sheets that a step adds up or counts have all their marks."""
    if not step.startswith(("sum:", "count_of:")):
        return True
    every = step.endswith(":all")
    return all(
        sheet.complete
        for sheet in result.sheets
        if sheet.counts or (every and sheet.total is not None)
    )


def _direction(step: str, rules: Rules) -> Direction:
    if step == "draw":
        return Direction.LOW
    return Direction.HIGH if step.startswith("count_of:") else rules.direction


def _split(
    group: Sequence[_Line], value: Callable[[_Line], Decimal], direction: Direction
) -> list[list[_Line]]:
    """The group cut into equals, best first, keeping the order given among them."""
    by_value: dict[Decimal, list[_Line]] = {}
    for line in group:
        by_value.setdefault(value(line), []).append(line)
    order = sorted(by_value, reverse=direction is Direction.HIGH)
    return [by_value[key] for key in order]


def _comparison(
    line: _Line,
    group: Sequence[_Line],
    values: dict[int, Decimal | None],
    step: str,
    rules: Rules,
) -> str:
    own = values[id(line)]
    others = sorted(
        {value for value in values.values() if value is not None and value != own}, reverse=True
    )
    what = describe_step(step, rules)
    numbers = f"{brief(own or ZERO)} against {list_words([brief(value) for value in others])}"
    return f"Decided by {what}: {numbers}."


def _number(groups: Sequence[Sequence[_Line]], method: PlaceMethod) -> Iterator[Place]:
    place = 1
    for group in groups:
        shared = len(group) > 1
        for line in group:
            decided = "" if shared else line.decided_by
            words = " ".join([*line.words, "The place is shared."] if shared else line.words)
            yield Place(line.entry.label, place, line.total, shared, decided, words)
        place += 1 if method is PlaceMethod.DENSE else len(group)
