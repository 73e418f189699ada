"""From stored sheets to what they come to: the bridge to `calc.scoring`."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from teamops.calc import scoring
from teamops.calc.words import opening
from teamops.judging.models import Mark, ScoreSheet
from teamops.judging.paper import PaperMark, said_words
from teamops.judging.rounds import RoundTotal, put_together
from teamops.rules.models import Criterion, Rulebook
from teamops.rules.records import rules_of

Papers = Sequence[tuple[ScoreSheet, Sequence[Mark]]]


@dataclass(frozen=True, slots=True)
class Odd:
    """Something to look at, in words: `sheet` is its place among the sheets, `criterion` a key."""

    kind: str
    words: str
    sheet: int | None = None
    criterion: str | None = None


@dataclass(frozen=True, slots=True)
class Reckoning:
    """
    A rulebook's criteria, and what an envelope's sheets come to under it.

    `rules` and `total` are None for a rulebook without criteria, under which nothing adds up.
    `labels` say which judge a sheet is from, in the order of the sheets. `rounds` has a line for
    each round the box was judged in; `total` is what the rulebook makes of them. `odd` is all that
    is odd about the papers, the whole table first.
    """

    criteria: tuple[Criterion, ...]
    labels: tuple[str, ...]
    rules: scoring.Rules | None
    total: scoring.Result | None
    rounds: tuple[RoundTotal, ...] = ()
    odd: tuple[Odd, ...] = ()

    @property
    def round(self) -> str:
        """The round that decides, where there were several."""
        deciding = [one.name for one in self.rounds if one.decides]
        if len(self.rounds) < 2:
            return ""
        return deciding[0] if len(deciding) == 1 else "all rounds"

    @property
    def counted(self) -> tuple[scoring.SheetResult, ...]:
        """The sheets of the rounds that decide, filled ones included."""
        return tuple(sheet for one in self.rounds if one.decides for sheet in one.result.sheets)


def reckon(rulebook: Rulebook, sheets: Papers) -> Reckoning:
    """What the sheets come to; no query where the rulebook's criteria are prefetched."""
    criteria = tuple(rulebook.criteria.all())
    labels = sheet_labels([sheet for sheet, _ in sheets])
    if not criteria:
        return Reckoning((), labels, None, None)
    rules = rules_of(rulebook)
    # the record keeps the rulebook's order, so a criterion is known by its place, whatever its key
    keys = {row.pk: one.key for row, one in zip(criteria, rules.criteria, strict=True)}
    given = [
        scoring.Sheet(
            label=label,
            marks={keys.get(m.criterion_id) or m.criterion.name: m.points for m in marks},
            given_total=sheet.given_total,
            panel=sheet.panel,
        )
        for label, (sheet, marks) in zip(labels, sheets, strict=True)
    ]
    total, rounds = put_together([sheet.round for sheet, _ in sheets], given, rules)
    odd = tuple(_odd(total.flags, sheets, labels, keys))
    return Reckoning(criteria, labels, rules, total, rounds, odd)


def _odd(
    flags: Sequence[scoring.Flag], sheets: Papers, labels: Sequence[str], keys: dict[int, str]
) -> Iterator[Odd]:
    """The arithmetic's flags, and the paper's own words wherever a box has some."""
    said = {
        (index, keys.get(mark.criterion_id) or mark.criterion.name): mark
        for index, (_, marks) in enumerate(sheets)
        for mark in marks
        if mark.said
    }
    for flag in flags:
        place = (flag.sheet, flag.criterion)
        if not (flag.kind == scoring.FlagKind.BLANK and place in said):
            yield Odd(str(flag.kind), flag.words, flag.sheet, flag.criterion)
    for (index, key), mark in said.items():
        words = said_words(mark.criterion.name, PaperMark(mark.points, mark.said))
        yield Odd("said", f"{opening(labels[index])}: {words}", index, key)


def sheet_labels(sheets: Sequence[ScoreSheet]) -> tuple[str, ...]:
    """
    Whose sheet each is: “judge 3”, or “judge 3 (sheet 4)” where two papers say seat 3.

    Where the box went through several rounds, named ones are said too: “judge 3 (Final)”.
    """
    several = len({sheet.round for sheet in sheets}) > 1
    came: Counter[str] = Counter()
    names = []
    for sheet in sheets:
        came[sheet.round] += 1
        number = came[sheet.round] if several else sheet.position
        after = f" ({sheet.round})" if several and sheet.round else ""
        names.append(f"judge {sheet.seat or number}{after}")
    times = Counter(names)
    return tuple(
        name if times[name] == 1 else f"{name} (sheet {sheet.position})"
        for name, sheet in zip(names, sheets, strict=True)
    )


def seats_twice(sheets: Sequence[ScoreSheet]) -> list[str]:
    """Sentences about seats that more than one paper claims."""
    times = Counter((s.round, s.panel, s.table, s.seat) for s in sheets if s.seat)
    return [f"{times[key]} sheets say seat {key[3]}." for key in times if times[key] > 1]


def posted_words(ours: Decimal | None, posted: Decimal | None) -> str:
    """Our total beside the posted one, in words; empty unless both are known."""
    if ours is None or posted is None:
        return ""
    apart = scoring.exact_sum([posted, -ours])
    _, _, exponent = posted.normalize().as_tuple()
    printed_places = -int(exponent) if isinstance(exponent, int) and exponent < 0 else 0
    if not apart:
        return "The posted total is the same as ours."
    if printed_places and round(ours, printed_places) == posted:
        return "The posted total is ours, rounded."
    short = "short" if apart < 0 else "over"
    gap = scoring.plain(abs(apart).normalize())
    numbers = f"Our sum {scoring.plain(ours)}, posted {scoring.plain(posted)}"
    return f"{numbers}: {gap} {short}."
