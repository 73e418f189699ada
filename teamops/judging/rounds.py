"""A box that was judged more than once: each round's total, and what the rulebook makes of them."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from teamops.calc import scoring
from teamops.calc.scoring import CriterionResult, Flag, Result, Rounds, Rules, Sheet, exact_sum
from teamops.calc.words import opening


@dataclass(frozen=True, slots=True)
class RoundTotal:
    """One round by its name as typed, what its sheets come to, and whether that is in the total."""

    name: str
    result: Result
    decides: bool
    places: tuple[int, ...] = ()  # its sheets' places among all sheets

    @property
    def label(self) -> str:
        """The round as one says it."""
        return self.name or "First round"


def put_together(
    names: Sequence[str], sheets: Sequence[Sheet], rules: Rules
) -> tuple[Result, tuple[RoundTotal, ...]]:
    """
    What sheets of one or more rounds come to; `names` are their rounds, in the order judged.

    A round without any mark or total decides nothing: the one before it still stands. The whole
    keeps every sheet in the order given, and says of which round a flag about a whole table is.
    """
    places: dict[str, list[int]] = {}
    for index, name in enumerate(names):
        places.setdefault(name, []).append(index)
    if len(places) < 2:
        result = scoring.score(sheets, rules)
        return result, (RoundTotal(next(iter(places), ""), result, True, (*range(len(sheets)),)),)
    rounds = [
        RoundTotal(name, scoring.score([sheets[place] for place in own], rules), False, (*own,))
        for name, own in places.items()
    ]
    judged = [one for one in rounds if any(s.total is not None for s in one.result.sheets)]
    deciding = judged or rounds[:1]
    if rules.rounds is Rounds.LAST:
        deciding = deciding[-1:]
    told = tuple(replace(one, decides=one in deciding) for one in rounds)
    results = [one.result for one in deciding]
    whole = results[0] if len(results) == 1 else _added(results, rules)
    return replace(whole, sheets=_in_order(told), flags=_flags(told)), told


def _added(results: Sequence[Result], rules: Rules) -> Result:
    """The rounds' results added up, first round first; what one cannot tell the whole cannot."""
    criteria = [_column(columns) for columns in zip(*(r.criteria for r in results), strict=True)]
    most = [result.most for result in results if result.most is not None]
    why_no_losses = " ".join(dict.fromkeys(r.why_no_losses for r in results if r.why_no_losses))
    if why_no_losses or len(most) < len(results):
        criteria = [replace(column, most=None, lost=None) for column in criteria]
    return Result(
        total=scoring.round_total([result.total for result in results], rules.rounds),
        why_no_total=" ".join(dict.fromkeys(r.why_no_total for r in results if r.why_no_total)),
        most=exact_sum(most) if len(most) == len(results) else None,
        sheets=(),
        criteria=tuple(criteria),
        flags=(),
        complete=all(result.complete for result in results),
        why_no_losses=why_no_losses,
        lost_to_rounding=exact_sum(result.lost_to_rounding for result in results),
        head_judge_total=None,
    )


def _column(columns: Sequence[CriterionResult]) -> CriterionResult:
    """One criterion over several rounds."""

    def known(name: str) -> Decimal | None:
        values = [getattr(column, name) for column in columns]
        return None if any(value is None for value in values) else exact_sum(values)

    return replace(
        columns[0],
        all_marks=tuple(mark for column in columns for mark in column.all_marks),
        kept_marks=tuple(mark for column in columns for mark in column.kept_marks),
        kept_sum=exact_sum(column.kept_sum for column in columns),
        all_sum=exact_sum(column.all_sum for column in columns),
        most=known("most"),
        earned=known("earned"),
        lost=known("lost"),
        dropped=tuple(label for column in columns for label in column.dropped),
    )


def _in_order(rounds: Sequence[RoundTotal]) -> tuple[scoring.SheetResult, ...]:
    """Every sheet of every round in the order given, filled ones last."""
    sheets = [sheet for one in rounds for sheet in one.result.sheets if not sheet.filled]
    places = [place for one in rounds for place in one.places]
    ordered = [sheet for _, sheet in sorted(zip(places, sheets, strict=True), key=lambda s: s[0])]
    filled = [sheet for one in rounds for sheet in one.result.sheets if sheet.filled]
    return (*ordered, *filled)


def _flags(rounds: Sequence[RoundTotal]) -> tuple[Flag, ...]:
    whole, own = [], []
    for one in rounds:
        for flag in one.result.flags:
            if flag.sheet is None:
                whole.append(replace(flag, words=f"{opening(one.label)}: {flag.words}"))
            else:
                own.append(replace(flag, sheet=one.places[flag.sheet]))
    return (*whole, *sorted(own, key=lambda flag: flag.sheet or 0))
