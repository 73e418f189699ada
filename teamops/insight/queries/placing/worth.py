"""Which criterion's next step up is worth most: each moved by itself, over the latest contests."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from uuid import UUID

from django.utils.safestring import SafeString

from teamops.calc.placing import signed
from teamops.calc.scoring import exact_sum
from teamops.calc.words import count_of, list_words, number_word
from teamops.insight.bars import Amount, bars
from teamops.insight.drawings import draw_bar
from teamops.insight.queries.placing.boxes import Box
from teamops.insight.queries.placing.played import Played, play
from teamops.rules.models import Criterion, Rulebook

HALF = Decimal("0.5")
ALIKE = Decimal("0.8")  # of the best: what is nearer is told by room at the top, not by worth


@dataclass(frozen=True, slots=True)
class WorthRow:
    """
    One criterion's step: what it adds to a contest's total on average, and the places that makes.

    `points` is the average over contests as words, `each` from the least to the most; `places`
    tells the places up where they can be told.
    """

    key: str
    name: str
    step: str
    points: str
    each: str
    places: str
    capped: int
    gain: Decimal
    first: bool
    bar: SafeString


def usual_step(criterion: Criterion) -> Decimal:
    """Half a mark, or the scale's own step where that is not a part of it; 0.5 if it has none."""
    step = criterion.step
    return HALF if step is None or not HALF % step else step


def better_way(rulebook: Rulebook) -> int:
    """1 where more is better, -1 where the fewest points win."""
    return 1 if rulebook.direction == Rulebook.Direction.HIGH else -1


def worth_rows(criteria: Sequence[Criterion], boxes: Sequence[Box], sign: int) -> list[WorthRow]:
    """A row a criterion, the one that is worth most first; those without marks are left out."""
    found = []
    for criterion in criteria:
        step = sign * usual_step(criterion)
        played = list(filter(None, (play(box, {criterion.key: step}) for box in boxes)))
        if played:
            found.append((criterion, step, played, by_contest(played, lambda one: one.gain)))
    means = [exact_sum(gains) / len(gains) for *_, gains in found]
    best = max((sign * mean for mean in means), default=Decimal(0))
    drawn = bars([Amount(float(sign * mean), worst=sign * mean == best > 0) for mean in means])
    rows = [
        WorthRow(
            key=criterion.key,
            name=criterion.name,
            step=signed(step),
            points=signed(round(mean, 2)),
            each=_ends(gains),
            places=places_words(played),
            capped=sum(one.replay.capped for one in played),
            gain=sign * mean,
            first=bar.worst,
            bar=draw_bar(bar),
        )
        for (criterion, step, played, gains), mean, bar in zip(found, means, drawn, strict=True)
    ]
    return sorted(rows, key=lambda row: -row.gain)


def by_contest(
    played: Iterable[Played], number: Callable[[Played], Decimal]
) -> tuple[Decimal, ...]:
    """A number a contest, in the order given: two boxes of one contest share the day."""
    contests: dict[UUID, list[Decimal]] = {}
    for one in played:
        contests.setdefault(one.box.entry.contest_id, []).append(number(one))
    return tuple(exact_sum(some) / len(some) for some in contests.values())


def _ends(gains: Sequence[Decimal]) -> str:
    """From the least to the most, where they differ."""
    low, high = min(gains), max(gains)
    return "" if low == high else f"{signed(round(low, 2))} to {signed(round(high, 2))}"


def places_words(played: Sequence[Played]) -> str:
    """Places up in all: those that are counted, and those that are estimated, each by itself."""
    told = [(one.would_be, one.climbed) for one in played]
    counted = [climbed for where, climbed in told if where and climbed and where.counted]
    guessed = [climbed for where, climbed in told if where and climbed and not where.counted]
    words = []
    if counted:
        words.append(f"{_up(sum(up for up, _ in counted))} in {_fields(len(counted))}")
    if guessed:
        least, most = (sum(ends) for ends in zip(*guessed, strict=True))
        range_words = _up(least) if least == most else f"{least} to {most} places up"
        words.append(f"about {range_words} in {_fields(len(guessed))}, estimated")
    return "; ".join(words)


def _up(places: int) -> str:
    if not places:
        return "no place up"
    return f"{count_of(abs(places), 'place')} {'up' if places > 0 else 'down'}"


def _fields(count: int) -> str:
    return "one field" if count == 1 else f"{number_word(count)} fields"


def worth_sentence(rows: Sequence[WorthRow], contests: int, sign: int) -> str:
    """Which step is worth most, in one sentence; or that none stands out."""
    where = "the last contest" if contests == 1 else f"the last {count_of(contests, 'contest')}"
    if not rows:
        return "No contest has every judge’s marks, so nothing can be played again."
    best = rows[0]
    if best.gain <= 0:
        return f"At {where} a step up would have been worth nothing in any criterion."
    alike = [row for row in rows if row.gain == best.gain and row.step == best.step]
    if len(alike) == len(rows) > 1:
        return (
            f"{best.step} is worth the same in every criterion: {best.points} points at {where}"
            f"{'' if contests == 1 else ', on average'}."
        )
    if len(rows) > 1 and all(r.step == best.step and r.gain > ALIKE * best.gain for r in rows):
        return (
            f"{best.step} is worth much the same in every criterion: {rows[-1].points} to "
            f"{best.points} points at {where}{'' if contests == 1 else ', on average'}."
        )
    names = list_words([row.name.lower() for row in alike])
    mean = "" if contests == 1 else ", on average"
    return (
        f"{best.step} in {names} would have been worth most at {where}: {best.points} points{mean}."
    )
