"""Where the points are that a rival had and we had not: from their sheets, or from posted sums."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from teamops.calc import scoring
from teamops.calc.rival import MOST_CRITERIA, rival_shares
from teamops.insight.queries.placing.boxes import Box
from teamops.insight.queries.rival.lists import (
    Line,
    Rivals,
    Stored,
    entrant_of,
    our_tables,
    plain_sums,
)
from teamops.judging.rounds import put_together
from teamops.rules.models import Criterion

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True)
class Gap:
    """
    A rival's points less ours by criterion key, which add up to `theirs` less `ours`. [points]

    `earned` are what each side's marks gave, ours first; None where it is not known. `docked` is
    what lateness took of ours. `exact` is false where posted sums are not what totals are made of.
    """

    shares: Mapping[str, Decimal]
    earned: Mapping[str, tuple[Decimal | None, Decimal | None]]
    ours: Decimal
    theirs: Decimal
    docked: Decimal = ZERO
    exact: bool = True
    paired: str = ""


@dataclass(frozen=True, slots=True)
class OurSide:
    """Our sheets that decide, in the order in which a rival's are typed, and their rounds."""

    sheets: tuple[scoring.Sheet, ...]
    rounds: tuple[str, ...]


def our_side(box: Box) -> OurSide:
    """Our sheets with marks in the rounds that decide."""
    _, rounds = put_together(box.rounds, box.sheets, box.rules)
    places = sorted(place for one in rounds if one.decides for place in one.places)
    marked = [
        place for place in places if any(m is not None for m in box.sheets[place].marks.values())
    ]
    return OurSide(
        tuple(box.sheets[place] for place in marked), tuple(box.rounds[place] for place in marked)
    )


def gap_by_sheets(box: Box, rivals: Rivals, line: Line, side: OurSide) -> Gap | str:
    """The gap by the rival's sheets, or why it cannot be told."""
    stored = rivals.sheets_of(line)
    if len(stored) != len(side.sheets):
        return (
            f"Their {len(stored)} sheets cannot be held against our {len(side.sheets)}: type as "
            "many as ours."
        )
    if len(box.rules.criteria) > MOST_CRITERIA:
        return f"A gap is shared out over {MOST_CRITERIA} criteria at most; this rulebook has more."
    theirs = tuple(_theirs(stored, side))
    same = line.posted.table in our_tables(box.entry, rivals.ours)
    ours, rounds = side.sheets, side.rounds
    if not same and len(set(rounds)) == 1:
        ours, theirs = (_best_first(some, box.rules) for some in (ours, theirs))

    def total(some: Sequence[scoring.Sheet]) -> scoring.Result:
        return put_together(rounds, some, box.rules)[0]

    shares = rival_shares(ours, theirs, box.rules, total)
    before, after = total(ours), total(theirs)
    if shares is None or before.total is None or after.total is None:
        return "One of the two tables has no total under the rulebook, so no gap can be told."
    docked = before.total - (box.before.total if box.before.total is not None else before.total)
    return Gap(
        shares=shares,
        earned=_earned(before, after),
        ours=before.total - docked,
        theirs=after.total,
        docked=docked,
        paired=(
            "The same judges marked both, so sheets are compared judge by judge."
            if same
            else "Other judges marked them, so sheets are compared best with best."
        ),
    )


def _theirs(stored: Stored, side: OurSide) -> list[scoring.Sheet]:
    return [
        scoring.Sheet(
            label=ours.label,
            marks={key: _number(row.get(key)) for key in ours.marks},
            panel=ours.panel,
        )
        for row, ours in zip(stored, side.sheets, strict=True)
    ]


def _number(text: str | None) -> Decimal | None:
    return None if text is None else Decimal(text)


def _best_first(sheets: Sequence[scoring.Sheet], rules: scoring.Rules) -> tuple[scoring.Sheet, ...]:
    """Panel by panel, in the order of what each sheet gives."""

    def worth(sheet: scoring.Sheet) -> Decimal:
        known = [(rules.by_key[key], mark) for key, mark in sheet.marks.items()
                 if key in rules.by_key and mark is not None]  # fmt: skip
        return sum((criterion.weight * mark for criterion, mark in known), ZERO)

    return tuple(sorted(sheets, key=lambda sheet: (sheet.panel, -worth(sheet))))


def _earned(
    ours: scoring.Result, theirs: scoring.Result
) -> dict[str, tuple[Decimal | None, Decimal | None]]:
    other = {row.key: row.earned for row in theirs.criteria}
    return {row.key: (row.earned, other[row.key]) for row in ours.criteria}


def gap_by_sums(box: Box, rivals: Rivals, line: Line, criteria: Sequence[Criterion]) -> Gap | None:
    """
    The gap by the list's sums of each criterion; None where it does not have them all.

    Ours are those of our own line, else what our sheets earned.
    """
    worth = {row.key: row.weight * box.rules.factor for row in box.rules.criteria}
    other = entrant_of(line, criteria)
    theirs, sure = plain_sums(other, worth)
    own = plain_sums(entrant_of(rivals.ours, criteria), worth) if rivals.ours else (None, False)
    ours, known = own
    if ours is None:
        earned = {row.key: row.earned for row in box.before.criteria}
        if any(value is None for value in earned.values()) or earned.keys() != worth.keys():
            return None
        ours, known = {key: value or ZERO for key, value in earned.items()}, True
    if theirs is None:
        return None
    return Gap(
        shares={key: theirs[key] - ours[key] for key in worth},
        earned={key: (ours[key], theirs[key]) for key in worth},
        ours=sum(ours.values(), ZERO),
        theirs=sum(theirs.values(), ZERO),
        exact=sure and known,
    )
