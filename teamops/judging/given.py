"""Only a total for each criterion was given: what they come to, and what each lost."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from teamops.calc.scoring import (
    Aggregate,
    Direction,
    DropScope,
    RoundWhere,
    Rules,
    exact_sum,
)
from teamops.calc.words import brief, count_of, list_words
from teamops.contests.models import Entry
from teamops.rules.models import Criterion
from teamops.rules.records import rules_of


@dataclass(frozen=True, slots=True)
class GivenLine:
    """One criterion's total, in points; most and lost are None where they cannot be told."""

    earned: Decimal
    most: Decimal | None = None
    lost: Decimal | None = None


@dataclass(frozen=True, slots=True)
class GivenTotals:
    """
    What criterion totals come to, and each criterion's line by its id. [points]

    `most` and the lines' most and lost are None where they cannot be told; `why_no_losses` then
    says why. `says` tells how the numbers were read.
    """

    total: Decimal | None
    most: Decimal | None
    lines: Mapping[int, GivenLine]
    says: tuple[str, ...]
    why_no_losses: str = ""


def account(entry: Entry, totals: Mapping[int, Decimal | None]) -> GivenTotals | None:
    """
    What the organiser's totals by criterion come to; None where there are none.

    They are read as points of the total. Where criteria weigh differently they may be plain sums
    of marks instead: they are read so if only then they add up to the posted total, rounded as it
    is. Losses are told where every criterion that the rulebook has was given, the marks are added
    up or averaged, and the book says how many judges count. No query where criteria are loaded.
    """
    criteria = list(entry.rulebook.criteria.all())
    given = {row.pk: totals.get(row.pk) for row in criteria}
    known = {pk: points for pk, points in given.items() if points is not None}
    if not known:
        return None
    rules = rules_of(entry.rulebook, criteria)
    worth, how = _in_points(entry, rules, criteria, known)
    missing = [row.name for row in criteria if row.pk not in known]
    says = [how] if how else []
    if missing:
        says.append(f"No total was given for {list_words(missing)}: ours is of the others.")
    added_up = exact_sum(worth.values())
    total = rules.round(added_up) if rules.round_where is RoundWhere.TOTAL else added_up
    most, why = _most(rules, criteria, worth)
    if why:
        lines = {pk: GivenLine(points) for pk, points in worth.items()}
        return GivenTotals(total, None, lines, tuple(says), why)
    judges = list_words(
        [f"{count_of(_counting(rules, panel), 'judge')}{f' on {panel}' if panel else ''}"
         for panel in rules.panel_keys]
    )  # fmt: skip
    says.append(f"The most each could be is worked out from {judges} whose marks count.")
    lines = {pk: _line(points, most[pk]) for pk, points in worth.items()}
    return GivenTotals(total, exact_sum(most.values()), lines, tuple(says))


def _in_points(
    entry: Entry, rules: Rules, criteria: Sequence[Criterion], known: Mapping[int, Decimal]
) -> tuple[dict[int, Decimal], str]:
    """The totals as points of the whole, and how they were read where there was a choice."""
    by_marks = {row.pk: row.weight * rules.factor * known[row.pk] for row in criteria
                if row.pk in known}  # fmt: skip
    posted = entry.official_total
    if posted is None or by_marks == dict(known):
        return dict(known), ""
    if _same(exact_sum(known.values()), posted) or not _same(exact_sum(by_marks.values()), posted):
        return dict(known), ""
    words = "Read as plain sums of marks: with the rulebook’s weights they are the posted total."
    return by_marks, words


def _same(total: Decimal, posted: Decimal) -> bool:
    exponent = posted.normalize().as_tuple().exponent
    places = -exponent if isinstance(exponent, int) and exponent < 0 else 0
    return total == posted or (places > 0 and round(total, places) == posted)


def _most(
    rules: Rules, criteria: Sequence[Criterion], worth: Mapping[int, Decimal]
) -> tuple[dict[int, Decimal], str]:
    """The most of each criterion, or why it cannot be told."""
    if rules.direction is Direction.LOW:
        return {}, "The lowest total wins, so no points are lost."
    if rules.aggregate not in (Aggregate.SUM, Aggregate.MEAN):
        return {}, "Not every mark that counts is in the total."
    if rules.reject_outlier is not None:
        return {}, "Without the marks nobody knows how many of them counted."
    if rules.round_where is not RoundWhere.DISPLAY and rules.rounding_places is not None:
        return {}, "The rulebook rounds on the way, and the marks are not known."
    most = {}
    for row, one in zip(criteria, rules.criteria, strict=True):
        if row.pk not in worth:
            return {}, f"No total was given for {row.name}."
        if one.most is None:
            return {}, f"The rulebook does not say the highest mark for {row.name.lower()}."
        judges = 1 if rules.aggregate is Aggregate.MEAN else _counting(rules, one.panel)
        most[row.pk] = rules.factor * one.weight * one.most * judges
        if worth[row.pk] > most[row.pk]:
            words = f"{row.name} {brief(worth[row.pk])} is more than {brief(most[row.pk])}"
            return {}, f"{words}, the most that the rulebook’s judges can give."
    return most, ""


def _counting(rules: Rules, panel: str) -> int:
    """How many judges' marks are in the total when all sheets came."""
    expected, _ = rules.panel_sheets(panel)
    gone = 0 if rules.drop_scope is DropScope.NONE else rules.drop_low + rules.drop_high
    return expected if expected <= gone else expected - gone


def _line(points: Decimal, most: Decimal) -> GivenLine:
    return GivenLine(points, most, exact_sum([most, -points]))
