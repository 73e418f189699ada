"""How a replayed place came about, line by line: which rule, which field, and what is open."""

from collections.abc import Iterator

from teamops.calc.placing import signed
from teamops.calc.scoring import SheetResult, Standing
from teamops.calc.words import brief, count_of, list_words, opening, ordinal
from teamops.insight.queries.placing.played import Played
from teamops.judging.reckon import posted_words
from teamops.judging.settling import settle

DROPPED = (Standing.DROPPED_LOW, Standing.DROPPED_HIGH, Standing.OUTLIER)


def how(one: Played) -> Iterator[str]:
    """The way to a box's total and place, in sentences."""
    yield f"Judged by {one.box.entry.rulebook}; every sheet is totalled anew by it."
    yield _moved(one)
    yield from _sheets(one)
    yield from _total(one)
    yield from _field(one)


def _moved(one: Played) -> str:
    moved, capped = one.replay.moved, one.replay.capped
    words = f"{opening(count_of(moved, 'mark'))} moved"
    if not capped:
        return f"{words}."
    return f"{words}; {count_of(capped, 'mark')} had no room for all of it at the end of the scale."


def _sheets(one: Played) -> Iterator[str]:
    """What became of sheets that do not count, and of those that could not be moved."""
    before, after = (_dropped(r.sheets) for r in (one.replay.before, one.replay.after))
    if before != after:
        yield (
            f"Left out was {list_words(before) or 'no sheet'}; with the moved marks it is "
            f"{list_words(after) or 'no sheet'}."
        )
    elif before:
        yield f"{opening(list_words(before))} does not count, before and after."
    bare = [
        sheet for sheet in one.box.sheets if not any(m is not None for m in sheet.marks.values())
    ]
    bare = [sheet for sheet in bare if sheet.given_total is not None]
    if bare:
        yield f"{opening(count_of(len(bare), 'sheet'))} only with a total: not moved."
    if len(set(one.box.rounds)) > 1:
        yield "Several rounds: put together as the rulebook says."


def _dropped(sheets: tuple[SheetResult, ...]) -> list[str]:
    return [sheet.label for sheet in sheets if sheet.standing in DROPPED]


def _total(one: Played) -> Iterator[str]:
    """What else is in the total: lateness, and a posted total that is not ours."""
    settled = settle(one.box.entry, one.replay.before.total)
    if one.box.entry.late:
        yield settled.words or "It came late, which cost no points."
    ours, posted = one.replay.before.total, one.box.entry.official_total
    if ours is not None and posted is not None and ours != posted:
        yield posted_words(ours, posted)
        if one.after != one.replay.after.total:
            yield f"{signed(one.gain)} on the posted total is {brief(one.after)}."


def _field(one: Played) -> Iterator[str]:
    posted, where = one.box.posted, one.would_be
    if posted is None:
        yield "No list of this contest is kept, so only points can be told."
        return
    field = posted.field
    told = len(field.ranked) + 1
    if where is None:
        yield from _not_told(one, told)
    elif where.counted:
        rest = f" {field.entries} entries, {told} with a total, ours among them."
        yield f"Counted in the list of {posted.title}:{rest}"
        if field.untold:
            yield "The list is unbroken from the first place on: nobody it leaves out is ahead."
        yield from where.steps
        counted = one.counted
        if counted and one.was and not counted.first <= one.was <= counted.last:
            by_totals = ordinal(counted.first)
            yield f"Posted {ordinal(one.was)}; by the list’s totals it was {by_totals}."
    elif where.guess is not None:
        yield f"Of the {field.entries} entries the list of {posted.title} tells too few."
        yield (
            f"Estimated from two scores, ours and the winner’s: a bell-shaped field puts it at "
            f"{where.guess.curve:.1f}, a straight line at {where.guess.line:.1f}. Usually one or "
            "two places off."
        )


def _not_told(one: Played, told: int) -> Iterator[str]:
    field = one.box.posted.field if one.box.posted else None
    if one.was == 1:
        yield "First already. How much room there was needs the runner-up’s total."
    elif field and told < 2:
        yield "The list has no totals, so only points can be told."
    else:
        yield "The list leaves out entries that may be ahead, and the winner’s total or our place."
