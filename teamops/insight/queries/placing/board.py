"""The page of a better mark: what it would have been worth, and what it would have placed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from uuid import UUID

from teamops.calc.placing import gains_sentence, move_words, placed_words, signed
from teamops.calc.scoring import exact_sum
from teamops.calc.words import brief, count_of
from teamops.insight.links import Links
from teamops.insight.queries.choices import Selection
from teamops.insight.queries.placing.boxes import LATEST, Box, latest, load_boxes, marked_boxes
from teamops.insight.queries.placing.curve import Curve, curve_of
from teamops.insight.queries.placing.how import how
from teamops.insight.queries.placing.played import Played, play
from teamops.insight.queries.placing.worth import (
    WorthRow,
    better_way,
    by_contest,
    usual_step,
    worth_rows,
    worth_sentence,
)
from teamops.insight.words import placing_words
from teamops.rules.models import Criterion, Rulebook
from teamops.teams.models import Team

POINTS_ONLY = "points only"
MOST_LISTED = 12  # gains said one by one; of more, the average and the ends


@dataclass(frozen=True, slots=True)
class BetterRow:
    """
    One box of one contest, played again, in words ready to print.

    `cook` is said where a contest had several boxes, `was` where no other place can be told. `how`
    says which rule and which field, line by
    line; `list_url` leads to the list it was counted in, `curve_url` to its placing curve, both
    empty where there is none.
    """

    contest: str
    url: str
    day: str
    cook: str
    own: str
    after: str
    gain: str
    capped: str
    was: str
    would_be: str
    counted: bool
    how: tuple[str, ...]
    list_url: str
    lists_url: str
    entry_id: UUID


@dataclass(frozen=True, slots=True)
class Better:
    """
    Everything about one move of the marks over the contests of a selection.

    `moves` are by criterion key. `contests` are those played again, of `all_contests`. `left` says
    how many boxes could not be played again.
    """

    criteria: tuple[Criterion, ...]
    moves: Mapping[str, Decimal]
    worth: tuple[WorthRow, ...]
    worth_sentence: str
    sentence: str
    rows: tuple[BetterRow, ...]
    contests: int
    all_contests: int
    left: str
    curve: Curve | None

    @property
    def shows_all(self) -> bool:
        return self.contests >= self.all_contests

    @property
    def tells_no_place(self) -> bool:
        """Whether somewhere only points can be told, for want of a field."""
        return any(row.would_be == POINTS_ONLY for row in self.rows)

    @property
    def unequal_steps(self) -> bool:
        """Whether criteria are not moved by the same step, so that they are not held even."""
        return len({row.step for row in self.worth}) > 1


def rulebook_of(team: Team, selection: Selection) -> Rulebook:
    """The chosen rulebook with its criteria; two queries."""
    books = Rulebook.objects.for_team(team).prefetch_related("criteria")
    return books.get(pk=selection.rulebook_id)


def better_marks(
    team: Team,
    selection: Selection,
    rulebook: Rulebook,
    moves: Mapping[str, Decimal] | None,
    *,
    every: bool = False,
    curve: UUID | None = None,
) -> Better:
    """
    The latest contests played again with these moves; seven queries, however many there are.

    Without `moves` the step that is worth most is taken. `every` plays all contests of the
    selection; `curve` is the entry whose placing curve is drawn, else the latest one that has one.
    """
    criteria = tuple(rulebook.criteria.all())
    found = marked_boxes(team, selection)
    boxes = load_boxes(team, latest(found, None if every else LATEST))
    sign = better_way(rulebook)
    worth = worth_rows(criteria, boxes, sign)
    if moves is None:
        moves = _best(worth, criteria, sign)
    played = [play(box, moves) for box in boxes] if moves else []
    told = [one for one in played if one is not None]
    contests = len({box.entry.contest_id for box in boxes})
    return Better(
        criteria=criteria,
        moves=moves,
        worth=tuple(worth),
        worth_sentence=worth_sentence(worth, contests, sign),
        sentence=_sentence(moves, criteria, told),
        rows=tuple(_rows(told, Links(team))),
        contests=contests,
        all_contests=len({contest for contest, _ in found}),
        left=_left(played),
        curve=_curve(told, boxes, curve),
    )


def _best(
    worth: Sequence[WorthRow], criteria: Sequence[Criterion], sign: int
) -> dict[str, Decimal]:
    """The step that is worth most."""
    if not worth:
        return {}
    criterion = next(row for row in criteria if row.key == worth[0].key)
    return {criterion.key: sign * usual_step(criterion)}


def _sentence(
    moves: Mapping[str, Decimal], criteria: Sequence[Criterion], played: Sequence[Played]
) -> str:
    """What the move would have been worth, in one sentence."""
    if not moves:
        return "No mark is moved: write a step above."
    names = {row.key: row.name for row in criteria}
    move = move_words({names[key]: step for key, step in moves.items()})
    gains = by_contest(reversed(played), lambda one: one.gain)
    capped = sum(one.replay.capped for one in played)
    if len(gains) <= MOST_LISTED:
        return gains_sentence(move, gains, capped)
    mean = signed(round(exact_sum(gains) / len(gains), 2))
    ends = f"{signed(min(gains))} to {signed(max(gains))}"
    held = f" {count_of(capped, 'mark')} had no room to move." if capped else ""
    return (
        f"Over {len(gains)} contests {move} would have been worth {mean} points on average, from "
        f"{ends}.{held}"
    )


def _left(played: Sequence[Played | None]) -> str:
    missing = sum(1 for one in played if one is None)
    if not missing:
        return ""
    boxes = "One box has" if missing == 1 else f"{missing} boxes have"
    return f"{boxes} no mark for what is moved, and cannot be played again."


def _rows(played: Sequence[Played], links: Links) -> list[BetterRow]:
    contests = [one.box.entry.contest_id for one in played]
    return [_row(one, links, several=contests.count(one.box.entry.contest_id) > 1)
            for one in played]  # fmt: skip


def _row(one: Played, links: Links, *, several: bool) -> BetterRow:
    entry, posted = one.box.entry, one.box.posted
    held_on = entry.contest.held_on
    entries = posted.field.entries if posted else entry.field_size
    would_be = _would_be(one, entries)
    only = would_be == POINTS_ONLY  # else the place that was is in its words
    cook = entry.guest_cook or str(entry.cook_of_record or "another box")
    return BetterRow(
        contest=entry.contest.name,
        url=links.to("insight:show_entry", entry.pk),
        day=f"{held_on.day} {held_on:%b %Y}",
        cook=cook if several else "",
        own=brief(one.own),
        after=brief(one.after),
        gain=signed(one.gain),
        capped=str(one.replay.capped or ""),
        was=placing_words(one.was, entries, tied=entry.tied) if only else "",
        would_be=would_be,
        counted=bool(one.would_be and one.would_be.counted),
        how=tuple(how(one)),
        list_url=links.to("judging:show_posting", posted.posting_id) if posted else "",
        lists_url="" if posted else links.to("judging:show_postings", entry.contest_id),
        entry_id=entry.pk,
    )


def _would_be(one: Played, entries: int | None) -> str:
    if entries is None or (one.would_be is None and one.was != 1):
        return POINTS_ONLY
    told = placing_words(one.was, None, tied=one.box.entry.tied)
    return placed_words(told or "an unknown place", one.would_be, entries, one.was)


def _curve(played: Sequence[Played], boxes: Sequence[Box], wanted: UUID | None) -> Curve | None:
    """The asked-for placing curve, else that of the latest contest that has one."""
    own = {one.box.entry.pk: one for one in played}
    for box in sorted(boxes, key=lambda box: box.entry.pk != wanted):
        if drawn := curve_of(box, own.get(box.entry.pk)):
            return drawn
    return None


def box_curve(team: Team, entry_id: UUID, moves: Mapping[str, Decimal]) -> Curve | None:
    """One box's placing curve as its picture draws it; six queries."""
    boxes = load_boxes(team, [entry_id])
    return curve_of(boxes[0], play(boxes[0], moves) if moves else None) if boxes else None
