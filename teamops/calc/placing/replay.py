"""The past played again with moved marks, through the rules of the contest."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from teamops.calc.scoring import Result, Rules, Sheet, score
from teamops.calc.scoring.rules import EXACT, ZERO, Criterion

Total = Callable[[Sequence[Sheet]], Result]


@dataclass(frozen=True, slots=True)
class Replay:
    """
    Our entry as it was and with the marks moved; both have a total. [points]

    `capped` counts marks that the end of their scale held back, `moved` those that moved at all.
    """

    before: Result
    after: Result
    moved: int
    capped: int

    @property
    def gain(self) -> Decimal:
        """What the moved marks add to the total."""
        return EXACT.subtract(self.after.total or ZERO, self.before.total or ZERO)


def replay(
    sheets: Sequence[Sheet],
    moves: Mapping[str, Decimal],
    rules: Rules,
    total: Total | None = None,
    before: Result | None = None,
) -> Replay | None:
    """
    Move our marks and total every sheet anew under the rules.

    The same sheet need not be dropped again. None where our entry has no total.

    Refuses (ValueError) what `move_marks` refuses.

    Parameters
    ----------
    sheets : sequence of Sheet
        Ours, as they were judged.
    moves : mapping of criterion key to Decimal
        How far every mark of that criterion moves, up or down. [marks]
    rules : Rules
        The rulebook of the contest.
    total : callable, optional
        How sheets are totalled where a contest does more than its rulebook; `score` by default.
    before : Result, optional
        What the sheets come to as they were, where that is known already.
    """
    work_out = total or (lambda some: score(some, rules))
    changed, moved, capped = move_marks(sheets, moves, rules)
    before = before or work_out(sheets)
    after = work_out(changed)
    if before.total is None or after.total is None:
        return None
    return Replay(before, after, moved, capped)


def move_marks(
    sheets: Sequence[Sheet], moves: Mapping[str, Decimal], rules: Rules
) -> tuple[tuple[Sheet, ...], int, int]:
    """
    The sheets with these criteria's marks moved, how many moved, and how many were held back.

    Blanks stay blank, and a penalty mark below the scale stays what it is: it was not given for
    the cooking. A mark is held back by the end of its scale, wholly or in part. A printed total
    goes, as it would no longer hold. Refuses (ValueError) a criterion that the rules do not have,
    and one that no sheet has a mark for.
    """
    unknown = moves.keys() - rules.by_key.keys()
    if unknown:
        raise ValueError(f"the rules have no criterion {sorted(unknown)}")
    for key in moves:
        if all(sheet.marks.get(key) is None for sheet in sheets):
            raise ValueError(f"no sheet has a mark for {key}")
    capped, moved, changed = 0, 0, []
    for sheet in sheets:
        marks = dict(sheet.marks)
        for key, step in moves.items():
            mark = marks.get(key)
            if mark is None or _is_penalty(mark, rules.by_key[key], rules):
                continue
            wanted = EXACT.add(mark, step)
            marks[key] = _held(wanted, mark, rules.by_key[key])
            capped += marks[key] != wanted
            moved += marks[key] != mark
        total = sheet.given_total if marks == dict(sheet.marks) else None
        changed.append(replace(sheet, marks=marks, given_total=total))
    return tuple(changed), moved, capped


def _held(wanted: Decimal, mark: Decimal, criterion: Criterion) -> Decimal:
    """The wanted mark within the scale; one that was outside already is not moved further out."""
    if criterion.most is not None:
        wanted = min(wanted, max(criterion.most, mark))
    if criterion.least is not None:
        wanted = max(wanted, min(criterion.least, mark))
    return wanted


def _is_penalty(mark: Decimal, criterion: Criterion, rules: Rules) -> bool:
    return mark == rules.penalty_mark and criterion.least is not None and mark < criterion.least
