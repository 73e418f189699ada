"""What a later list says otherwise than the one before."""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from teamops.calc.field.records import Entrant
from teamops.calc.reading.ours import plain_name
from teamops.calc.scoring import plain
from teamops.calc.words import count_of, list_words, number_word, ordinal


@dataclass(frozen=True, slots=True)
class Difference:
    """One entry that two lists tell otherwise, in words; `up` counts the places it rose."""

    label: str
    words: str
    up: int = 0


@dataclass(frozen=True, slots=True)
class Differences:
    """All that two lists tell otherwise, and that in one sentence."""

    lines: tuple[Difference, ...]
    words: str


def compare(before: Sequence[Entrant], after: Sequence[Entrant]) -> Differences:
    """Who moved, whose total changed, who is new and who gone; entries meet by number and name."""
    pairs = _pairs(before, after)
    known, met = {new for _, new in pairs}, {old for old, _ in pairs}
    lines = [_changed(before[old], after[new]) for old, new in pairs]
    changed = [line for line in lines if line]
    new = [
        Difference(one.label, f"new, {_where(one)}")
        for i, one in enumerate(after)
        if i not in known
    ]
    gone = [
        Difference(one.label, f"no longer on the list, was {_where(one)}")
        for i, one in enumerate(before)
        if i not in met
    ]
    counts = [
        count_of(len(group), noun)
        for group, noun in (
            ([line for line in changed if line.up], "place"),
            ([line for line in changed if not line.up], "other line"),
        )
        if group
    ]
    words = [f"{list_words(counts)} changed"] if counts else []
    words += [
        f"{_entries(len(some))} {how}" for some, how in ((new, "new"), (gone, "gone")) if some
    ]
    text = "; ".join(words) or "nothing changed"
    return Differences((*changed, *new, *gone), f"{text[:1].upper()}{text[1:]}.")


def _entries(count: int) -> str:
    return f"{number_word(count)} {'entry' if count == 1 else 'entries'}"


def _pairs(before: Sequence[Entrant], after: Sequence[Entrant]) -> list[tuple[int, int]]:
    """The same entries on both lists: number and name, then name, then number alone."""
    ways: tuple[Callable[[Entrant], str], ...] = (
        lambda one: f"{one.number} {one.label}",  # nearly all, without a look at spelling
        lambda one: f"{one.number} {plain_name(one.label)}" if one.number else "",
        lambda one: plain_name(one.label),
        lambda one: one.number,
    )
    pairs: list[tuple[int, int]] = []
    left, right = dict(enumerate(before)), dict(enumerate(after))
    for way in ways:
        olds, news = _once(left, way), _once(right, way)
        for key in olds.keys() & news.keys():
            pairs.append((olds[key], news[key]))
            del left[olds[key]], right[news[key]]
    return sorted(pairs, key=lambda pair: pair[1])


def _once(entrants: dict[int, Entrant], way: Callable[[Entrant], str]) -> dict[str, int]:
    keys = {index: way(one) for index, one in entrants.items()}
    times = Counter(keys.values())
    return {key: index for index, key in keys.items() if key and times[key] == 1}


def _changed(old: Entrant, new: Entrant) -> Difference | None:
    words = list(_told(old, new))
    if not words:
        return None
    up = old.placing - new.placing if old.placing and new.placing else 0
    return Difference(new.label, ", ".join(words), up)


def _told(old: Entrant, new: Entrant) -> Iterator[str]:
    if old.placing != new.placing:
        yield f"{_place(old)} → {_place(new)}"
    if old.total != new.total:
        yield f"total {_total(old)} → {_total(new)}"
    if old.out != new.out:
        yield new.out or f"no longer {old.out}"
    if old.number != new.number and old.number and new.number:
        yield f"number {old.number} → {new.number}"


def _place(one: Entrant) -> str:
    return ordinal(one.placing) if one.placing else "no place"


def _total(one: Entrant) -> str:
    return "none" if one.total is None else plain(one.total)


def _where(one: Entrant) -> str:
    total = "" if one.total is None else f" with {plain(one.total)}"
    return f"{_place(one)}{total}"
