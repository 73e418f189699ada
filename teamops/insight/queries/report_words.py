"""The season report's sentences: what a team-mate who was not there should know in two minutes."""

from collections.abc import Iterator, Sequence
from statistics import median

from teamops.calc.effects import ChangeEffect, Effect, Verdict
from teamops.calc.words import count_of, list_words, opening, ordinal
from teamops.insight.queries.changes_list import ChangeRow
from teamops.insight.queries.changes_told import SHARED
from teamops.insight.queries.ledger import CategoryLedger

CLEAR = "clear: "
MOST_CHANGES = 2  # in the list of what to work on; the table has them all

Placed = tuple[int | None, int | None, str]  # place, of how many, at which contest


def headline_words(placings: Sequence[Placed], shares: Sequence[float], contests: int) -> str:
    """How many contests, the best place, where we usually came in, and the usual total."""
    if not placings:
        return "Nothing was judged in this time."
    boxes = len(placings)
    said = [opening(count_of(contests, "contest"))]
    if boxes > contests:
        said[0] += f", {count_of(boxes, 'box') if boxes == 1 else f'{boxes} boxes'}"
    known = [(place, field, contest) for place, field, contest in placings if place]
    if known:
        place, field, contest = min(known, key=lambda one: (one[0], -(one[1] or 0)))
        said.append(f"best {ordinal(place or 0)}{f' of {field}' if field else ''} at {contest}")
    words = f"{'; '.join(said)}."
    parts = [place / field for place, field, _ in placings if place and field]
    if len(parts) > 1:
        words += f" Usually {_where(median(parts))}."
    if len(shares) > 1:
        words += f" The middle total was {100 * median(shares):.1f} % of a full box."
    return words


def _where(part: float) -> str:
    """Where in the field a place is, as a part of it: 0.1 is in the first tenth."""
    for most, words in ((0.1, "in the first tenth"), (0.25, "in the first quarter"),
                        (0.5, "in the upper half"), (0.75, "in the lower half")):  # fmt: skip
        if part <= most:
            return f"{words} of the field"
    return "in the last quarter of the field"


def trend_words(effect: Effect, whole: ChangeEffect) -> str:
    """A criterion from the first half of the contests to the second, in a few words."""
    if effect.change is None or effect.span_95 is None:
        return "cannot be told"
    moved = _moved(effect.change)
    if effect.verdict is Verdict.CLEAR:
        return f"{moved}: more than luck"
    if effect.verdict is Verdict.LEANING:
        return f"{moved}: perhaps; what did not move looks so one time in five"
    return f"{moved}: within the usual swing of ±{effect.span_95.half:.1f}"


def _moved(change: float) -> str:
    size = f"{abs(change):.1f}"
    return "the same" if size == "0.0" else f"{'up' if change > 0 else 'down'} {size}"


def work_on_words(ledger: CategoryLedger) -> Iterator[str]:
    """What the ledger says to work on, no stronger than it is."""
    rows = ledger.rows
    if not rows:
        return
    worst = next((row for row in rows if row.worst), None)
    if worst is not None:
        between = (
            f", 8 in 10 sure between {worst.low:.1f} and {worst.high:.1f}"
            if (worst.low is not None and worst.high is not None)
            else ""
        )
        yield (
            f"{worst.name} first: it usually costs most, {worst.lost:.1f} of the {ledger.lost:.1f} "
            f"points lost a contest{between}."
        )
        return
    ranked = sorted((row for row in rows if row.chance is not None), key=_chance, reverse=True)
    if not ranked:
        most = max(rows, key=lambda row: row.lost)
        yield (
            f"Too few contests to say what usually costs most. So far it was {most.name.lower()}: "
            f"{most.lost:.1f} points a contest."
        )
        return
    names = list_words([f"{row.name.lower()} ({row.percent} % likely)" for row in ranked[:2]])
    yield f"No criterion stands out for sure: {names} are the likeliest to cost most."


def change_words(changes: Sequence[ChangeRow]) -> Iterator[str]:
    """What the changes ask for next: the settled ones kept or dropped, the open ones tried on."""
    told = [row for row in changes if row.look in ("ok", "due")]
    for row in told[:MOST_CHANGES]:
        if row.look == "ok":
            found = row.verdict.removeprefix(CLEAR)
            yield f"“{row.what}”: marks differ with it by more than luck, {found}."
        elif row.verdict.startswith(CLEAR):
            found = row.verdict.removeprefix(CLEAR).removesuffix(f", {SHARED}")
            yield (
                f"“{row.what}”: marks differ by more than luck, {found}, but something else changed"
                " at mostly the same contests. Turn it alone on and off."
            )
        else:
            yield f"“{row.what}” is not settled ({row.verdict}): turn it alone on and off."


def _chance(row: object) -> float:
    return float(getattr(row, "chance", None) or 0)
