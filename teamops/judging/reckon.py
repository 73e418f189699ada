"""From stored sheets to what they come to: the bridge to `calc.scoring`."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from teamops.calc import scoring
from teamops.judging.models import Mark, ScoreSheet
from teamops.rules.models import Criterion, Rulebook
from teamops.rules.records import rules_of


@dataclass(frozen=True, slots=True)
class Reckoning:
    """
    A rulebook's criteria, and what an envelope's sheets come to under it.

    `rules` and `total` are None for a rulebook without criteria, under which nothing adds up.
    `labels` say which judge a sheet is from, in the order of the sheets.
    """

    criteria: tuple[Criterion, ...]
    labels: tuple[str, ...]
    rules: scoring.Rules | None
    total: scoring.Result | None


def reckon(rulebook: Rulebook, sheets: Sequence[tuple[ScoreSheet, Sequence[Mark]]]) -> Reckoning:
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
    return Reckoning(criteria, labels, rules, scoring.score(given, rules))


def sheet_labels(sheets: Sequence[ScoreSheet]) -> tuple[str, ...]:
    """Whose sheet each is: “judge 3”, or “judge 3 (sheet 4)” where two papers say seat 3."""
    names = [sheet.seat or str(sheet.position) for sheet in sheets]
    times = Counter(names)
    return tuple(
        f"judge {name}" if times[name] == 1 else f"judge {name} (sheet {sheet.position})"
        for name, sheet in zip(names, sheets, strict=True)
    )


def seats_twice(sheets: Sequence[ScoreSheet]) -> list[str]:
    """Sentences about seats that more than one paper claims."""
    times = Counter((sheet.panel, sheet.table, sheet.seat) for sheet in sheets if sheet.seat)
    return [f"{times[key]} sheets say seat {key[2]}." for key in times if times[key] > 1]


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
