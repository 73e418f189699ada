"""The past played again with moved marks: through the rules, and the field where it is known."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from teamops.calc.scoring import Contender, Place, Result, Rules, Sheet, rank, score
from teamops.calc.scoring.rules import EXACT, Criterion

Total = Callable[[Sequence[Sheet]], Result]


@dataclass(frozen=True, slots=True)
class Replay:
    """
    Our entry as it was and with the marks moved. [points]

    `was` and `would_be` are our places among the field, None where no field was given; `field` is
    how many are placed, ours too. `capped` counts marks that the end of their scale held back.
    """

    before: Decimal
    after: Decimal
    was: Place | None
    would_be: Place | None
    field: int
    capped: int

    @property
    def gain(self) -> Decimal:
        """What the moved marks add to the total."""
        return EXACT.subtract(self.after, self.before)


def replay(
    sheets: Sequence[Sheet],
    moves: Mapping[str, Decimal],
    rules: Rules,
    field: Sequence[Contender] = (),
    total: Total | None = None,
) -> Replay | None:
    """
    Move our marks, total every sheet anew under the rules, and count who is still above.

    The same sheet need not be dropped again, and ties go down the rules' own steps. Without a
    known field only the totals are told. None where our entry has no total.

    Refuses (ValueError) what `move_marks` refuses.

    Parameters
    ----------
    sheets : sequence of Sheet
        Ours, as they were judged.
    moves : mapping of criterion key to Decimal
        How far every mark of that criterion moves, up or down. [marks]
    rules : Rules
        The rulebook of the contest.
    field : sequence of Contender
        Everybody else in the category.
    total : callable, optional
        How sheets are totalled where a contest does more than its rulebook; `score` by default.
    """
    work_out = total or (lambda some: score(some, rules))
    moved, capped = move_marks(sheets, moves, rules)
    before, after = work_out(sheets), work_out(moved)
    if before.total is None or after.total is None:
        return None
    was = would_be = None
    if field:
        was, would_be = (_place(result, field, rules) for result in (before, after))
    placed = 1 + sum(1 for one in field if one.total is not None)
    return Replay(before.total, after.total, was, would_be, placed, capped)


def move_marks(
    sheets: Sequence[Sheet], moves: Mapping[str, Decimal], rules: Rules
) -> tuple[tuple[Sheet, ...], int]:
    """
    The sheets with these criteria's marks moved, and how many the end of the scale held back.

    Blanks stay blank, and a penalty mark below the scale stays what it is: it was not given for
    the cooking. A printed total goes, as it would no longer hold. Refuses (ValueError) a criterion
    that the rules do not have, and one that no sheet has a mark for.
    """
    unknown = moves.keys() - rules.by_key.keys()
    if unknown:
        raise ValueError(f"the rules have no criterion {sorted(unknown)}")
    for key in moves:
        if all(sheet.marks.get(key) is None for sheet in sheets):
            raise ValueError(f"no sheet has a mark for {key}")
    capped, moved = 0, []
    for sheet in sheets:
        marks = dict(sheet.marks)
        for key, step in moves.items():
            mark = marks.get(key)
            if mark is None or _is_penalty(mark, rules.by_key[key], rules):
                continue
            wanted = EXACT.add(mark, step)
            marks[key] = _held(wanted, mark, rules.by_key[key])
            capped += marks[key] != wanted
        total = sheet.given_total if marks == dict(sheet.marks) else None
        moved.append(replace(sheet, marks=marks, given_total=total))
    return tuple(moved), capped


def _held(wanted: Decimal, mark: Decimal, criterion: Criterion) -> Decimal:
    """The wanted mark within the scale; one that was outside already is not moved further out."""
    if criterion.most is not None:
        wanted = min(wanted, max(criterion.most, mark))
    if criterion.least is not None:
        wanted = max(wanted, min(criterion.least, mark))
    return wanted


def _is_penalty(mark: Decimal, criterion: Criterion, rules: Rules) -> bool:
    return mark == rules.penalty_mark and criterion.least is not None and mark < criterion.least


def _place(result: Result, field: Sequence[Contender], rules: Rules) -> Place:
    """Ours among the others; told by a label that nobody else has."""
    label = "ours"
    while any(one.label == label for one in field):
        label += "*"
    places = rank([Contender(label, result.total, result), *field], rules)
    return next(place for place in places if place.label == label)
