"""The order that totals and tie-break steps give, and where a list says otherwise."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from itertools import groupby

from teamops.calc.field.records import Entrant, Stand, Standing
from teamops.calc.field.sums import unlike_the_sum
from teamops.calc.scoring import (
    Contender,
    CriterionResult,
    Direction,
    PlaceMethod,
    Result,
    Rules,
    describe_step,
    plain,
    rank,
    tie_steps,
)
from teamops.calc.words import count_of, list_words, ordinal

MOST_TIED = 12  # more that are level are counted, not named
SHARED = "The place is shared."
Ties = dict[int, tuple[int, int, tuple[str, ...]]]


def stand(entrants: Sequence[Entrant], rules: Rules | None) -> Standing:
    """
    Every entry's place by its total and the tie-break steps, beside the one that was posted.

    Without `rules` the most points win and nothing parts the level. A list that starts below the
    first place is taken to go on from there. Nothing is put right: what does not fit is said.
    """
    ties = _places(entrants, rules)
    sums = unlike_the_sum(entrants, rules)
    doubled = _doubled(entrants)
    stands = []
    for index, entrant in enumerate(entrants):
        first, last, steps = ties.get(index, (None, None, ()))
        flags = [
            *_misplaced(entrant, first, last, tied=bool(steps)),
            *doubled.get(index, ()),
            *sums.get(index, ()),
        ]
        stands.append(Stand(first, last, steps, tuple(flags)))
    return Standing(tuple(stands), tuple(_skipped(entrants, rules)))


def _places(entrants: Sequence[Entrant], rules: Rules | None) -> Ties:
    """For each entry with a total: the first and the last place it can mean, and the steps."""
    high = rules is None or rules.direction is Direction.HIGH
    dense = rules is not None and rules.place_method is PlaceMethod.DENSE
    order = sorted(
        (index for index, one in enumerate(entrants) if one.total is not None and not one.out),
        key=lambda index: entrants[index].total or 0,
        reverse=high,
    )
    placings = [one.placing for one in entrants if one.placing]
    place = min(placings, default=1)
    found: Ties = {}
    for _, same in groupby(order, key=lambda index: entrants[index].total):
        group = list(same)
        if len(group) == 1:
            found[group[0]] = (place, place, ())
        else:
            found |= _tied(group, entrants, rules, place)
        place += 1 if dense else len(group)
    return found


def _tied(
    group: Sequence[int], entrants: Sequence[Entrant], rules: Rules | None, place: int
) -> Ties:
    """The places of entries level on their total, the first of them at `place`."""
    if rules is not None and len(group) <= MOST_TIED:
        return _by_steps(group, entrants, rules, place)
    total = plain(entrants[group[0]].total or Decimal(0))
    last = place + len(group) - 1
    found: Ties = {}
    for index in group:
        with_whom = count_of(len(group) - 1, "other")
        if len(group) <= MOST_TIED:
            with_whom = list_words([entrants[other].label for other in group if other != index])
        found[index] = (place, last, (f"Level on {total} with {with_whom}.",))
    return found


def _by_steps(group: Sequence[int], entrants: Sequence[Entrant], rules: Rules, place: int) -> Ties:
    """The same, down the rulebook's steps as far as what is known answers them."""
    steps, missing = _answerable([entrants[index] for index in group], rules)
    if all(entrants[index].drawn for index in group):  # whatever came before left them level
        steps, missing = ("draw",), ""
    book = replace(rules, tie_break=steps)
    # labels are numbers here: two entries may have one name
    tied = [_contender(str(index), entrants[index]) for index in group]
    told, shown = rank(tied, book), tie_steps(tied, book)
    level = [step.words for step in shown if step.parts == 1]
    unknown = bool(missing) or any(not step.parts and step.step != "shared" for step in shown)
    names = {str(index): entrants[index].label for index in group}
    sizes = Counter(one.place for one in told)
    found: Ties = {}
    for one in told:
        first = place + (one.place or 1) - 1
        opening, _, rest = one.words.partition(". ")
        words = [f"{_named(opening, names)}.", *level]
        words.append(_named(rest.removesuffix(SHARED).strip(), names))
        if one.shared:
            words.append(f"Then it goes by {missing}." if missing else "" if unknown else SHARED)
        steps_told = tuple(filter(None, words))
        found[int(one.label)] = (first, first + sizes[one.place] - 1, steps_told)
    return found


def _named(words: str, names: Mapping[str, str]) -> str:
    """The steps' words with names where they have the entries' numbers."""
    sentences = []
    for sentence in words.split(". "):
        for joint in (" with ", " for "):
            head, found, tail = sentence.rpartition(joint)
            if found:
                listed = tail.removesuffix(".").replace(" and ", ", ").split(", ")
                if all(one in names for one in listed):
                    dot = "." if tail.endswith(".") else ""
                    sentence = f"{head}{joint}{list_words([names[one] for one in listed])}{dot}"
        sentences.append(sentence)
    return ". ".join(sentences)


def _answerable(group: Sequence[Entrant], rules: Rules) -> tuple[tuple[str, ...], str]:
    """
    The steps that what is known answers, and what the first of the others would want.

    Where every sheet is known, or none is, `rank` tells by itself what is missing; posted sums
    answer only the steps that compare the sums of the sheets that count.
    """
    if not any(one.sums and one.result is None for one in group):
        return rules.tie_break, ""
    for number, step in enumerate(rules.tie_break):
        match step.split(":"):
            case ["sum", key, "kept"] if all(one.result or key in one.sums for one in group):
                continue
            case ["draw"] | ["shared"]:
                continue
        who = [one.label for one in group if one.result is None]
        return rules.tie_break[
            :number
        ], f"{describe_step(step, rules)}, unknown for {list_words(who)}"
    return rules.tie_break, ""


def _contender(label: str, one: Entrant) -> Contender:
    result = one.result or (_from_sums(one) if one.sums else None)
    return Contender(label, one.total, result, one.drawn)


def _from_sums(one: Entrant) -> Result:
    """A result that knows only each criterion's sum; weights are the same for all who are tied."""
    rows = tuple(
        CriterionResult(
            key=key, name=key, weight=Decimal(1), panel="", all_marks=(), kept_marks=(),
            kept_sum=value, all_sum=value, most=None, earned=None, lost=None,
        )
        for key, value in one.sums.items()
    )  # fmt: skip
    return Result(one.total, "", None, (), rows, (), complete=False)


def _misplaced(one: Entrant, first: int | None, last: int | None, *, tied: bool) -> Iterator[str]:
    if one.out and one.placing:
        yield f"It is {one.out}, and placed {ordinal(one.placing)}."
    if one.placing is None or first is None or last is None:
        return
    if not first <= one.placing <= last:
        place = ordinal(first) if first == last else f"{ordinal(first)} to {ordinal(last)}"
        by = "the rulebook’s steps" if tied and first == last else "its total"
        yield f"Posted {ordinal(one.placing)}, but {place} by {by}."


def _doubled(entrants: Sequence[Entrant]) -> dict[int, tuple[str, ...]]:
    """Entries of one place and different totals."""
    by_place: dict[int, list[int]] = {}
    for index, one in enumerate(entrants):
        if one.placing and not one.out:
            by_place.setdefault(one.placing, []).append(index)
    found: dict[int, tuple[str, ...]] = {}
    for place, group in by_place.items():
        totals = {entrants[index].total for index in group} - {None}
        if len(totals) > 1:
            words = f"{ordinal(place)} is posted {_times(len(group))}, with different totals."
            found |= {index: (words[:1].upper() + words[1:],) for index in group}
    return found


def _times(count: int) -> str:
    return "twice" if count == 2 else f"{count} times"


def _skipped(entrants: Sequence[Entrant], rules: Rules | None) -> Iterator[str]:
    """Places that nobody has, though nobody shares the one before."""
    dense = rules is not None and rules.place_method is PlaceMethod.DENSE
    places = Counter(one.placing for one in entrants if one.placing and not one.out)
    if not places:
        return
    missing: list[int] = []
    expected = min(place for place in places if place)
    for place, times in sorted((p, t) for p, t in places.items() if p):
        missing += range(expected, min(place, expected + 50))
        expected = max(expected, place + (1 if dense else times))
    if missing:
        shown = list_words([ordinal(place) for place in missing[:8]])
        more = f" and {len(missing) - 8} more" if len(missing) > 8 else ""
        yield f"Nobody is posted {shown}{more}."
