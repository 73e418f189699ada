"""The page of a box beside a rival's: where their points over ours came from."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.utils.safestring import SafeString

from teamops.calc import scoring
from teamops.calc.placing import signed
from teamops.calc.rival import gap_sentence
from teamops.calc.words import brief
from teamops.contests.models import Entry
from teamops.insight.queries.placing.boxes import Box, load_boxes
from teamops.insight.queries.rival.gap import Gap, OurSide, gap_by_sheets, gap_by_sums, our_side
from teamops.insight.queries.rival.lists import (
    Line,
    Rivals,
    line_words,
    name_of,
    our_tables,
    rivals_of,
)
from teamops.rules.models import Criterion
from teamops.teams.models import Team


@dataclass(frozen=True, slots=True)
class GapRow:
    """One criterion's line: what each side earned, and the rival's points over ours."""

    name: str
    ours: str
    theirs: str
    share: str
    bar: SafeString


@dataclass(frozen=True, slots=True)
class RivalPage:
    """
    Everything on the page of one rival.

    `options` are the field's lines with their ids; `line_id` is the chosen one, None where the list
    names nobody. `rows` are empty where only totals are known; `why` says what stood in the way.
    `side` is what a rival's sheets are typed beside, `typed` what is kept of them.
    """

    entry: Entry
    criteria: tuple[Criterion, ...]
    list_title: str
    posting_id: Any
    options: tuple[tuple[int, str], ...]
    line_id: int | None
    name: str
    totals: str
    sentence: str
    rows: tuple[GapRow, ...]
    sum_row: GapRow | None
    why: str
    notes: tuple[str, ...]
    side: OurSide
    typed: tuple[dict[str, str], ...]


def rival_page(team: Team, entry: Entry, wanted: int | None) -> RivalPage:
    """A box beside the rival with this id, or the one to start with; eight queries."""
    (box,) = load_boxes(team, [entry.pk])
    rivals = rivals_of(box)
    line = rivals.of(wanted)
    criteria = tuple(box.entry.rulebook.criteria.all())
    side = our_side(box)
    found: Gap | str | None = None
    if line is not None:
        found = _gap(box, rivals, line, side, criteria)
    gap = found if isinstance(found, Gap) else None
    way = 1 if box.rules.direction is scoring.Direction.HIGH else -1
    near = our_tables(box.entry, rivals.ours)
    return RivalPage(
        entry=box.entry,
        criteria=criteria,
        list_title=box.posted.title if box.posted else "",
        posting_id=box.posted.posting_id if box.posted else None,
        options=tuple(
            (one.pk, line_words(one, near=one.posted.table in near)) for one in rivals.others
        ),
        line_id=line.pk if line else None,
        name=name_of(line) if line else "",
        totals=_totals(box, line) if line else "",
        sentence=_sentence(gap, line, criteria, way) if gap and line else "",
        rows=tuple(_rows(gap, criteria, way)) if gap else (),
        sum_row=_sum_row(gap) if gap else None,
        why=found if isinstance(found, str) else "",
        notes=tuple(_notes(gap, box, line)) if gap and line else (),
        side=side,
        typed=tuple(rivals.sheets_of(line)) if line else (),
    )


def _gap(
    box: Box, rivals: Rivals, line: Line, side: OurSide, criteria: Sequence[Criterion]
) -> Gap | str | None:
    """By their sheets where those are known, else by the list's sums."""
    why: str | None = None
    if rivals.sheets_of(line):
        found = gap_by_sheets(box, rivals, line, side)
        if isinstance(found, Gap):
            return found
        why = found
    return gap_by_sums(box, rivals, line, criteria) or why


def _totals(box: Box, line: Line) -> str:
    """Both totals side by side."""
    own, theirs = box.own, line.posted.total
    if own is None or theirs is None:
        return "Both totals are not known."
    gap = scoring.exact_sum([theirs, -own])
    if not gap:
        return f"Both have {brief(own)}."
    way = box.rules.direction is scoring.Direction.HIGH
    who = f"{name_of(line)} ahead" if (gap > 0) == way else "you ahead"
    return f"{name_of(line)} {brief(theirs)}, you {brief(own)}: {brief(abs(gap))} apart, {who}."


def _sentence(gap: Gap, line: Line, criteria: Sequence[Criterion], way: int) -> str:
    """Who was ahead by what; `way` is -1 where the fewest points win."""
    shares = {row.name: way * gap.shares[row.key] for row in criteria if row.key in gap.shares}
    if gap.docked:
        shares["what your lateness cost"] = way * gap.docked
    return gap_sentence(name_of(line), shares)


def _rows(gap: Gap, criteria: Sequence[Criterion], way: int) -> Iterator[GapRow]:
    names = {row.key: row.name for row in criteria}
    most = max((abs(share) for share in [*gap.shares.values(), gap.docked]), default=Decimal(0))
    for key, share in gap.shares.items():
        ours, theirs = gap.earned[key]
        yield GapRow(
            name=names.get(key, key),
            ours="–" if ours is None else brief(ours),
            theirs="–" if theirs is None else brief(theirs),
            share=signed(share),
            bar=draw_two(way * share, most),
        )
    if gap.docked:
        docked = f"−{brief(gap.docked)}"
        yield GapRow(
            "Taken off ours for lateness",
            docked,
            "",
            signed(gap.docked),
            draw_two(way * gap.docked, most),
        )


def _sum_row(gap: Gap) -> GapRow:
    apart = scoring.exact_sum([gap.theirs, -gap.ours])
    return GapRow("In all", brief(gap.ours), brief(gap.theirs), signed(apart), SafeString(""))


def draw_two(share: Decimal, most: Decimal) -> SafeString:
    """A bar from the middle: to the right where the rival was ahead, to the left where we were."""
    long = float(abs(share) / most) * 60 if most else 0.0
    ours = share < 0
    start = 65 - long if ours else 65.0
    look = ' class="ours"' if ours else ""
    return SafeString(
        '<svg class="two" viewBox="0 0 130 12" preserveAspectRatio="none" aria-hidden="true">'
        f'<rect{look} x="{start:.1f}" y="1" width="{long:.1f}" height="10"/>'
        '<line x1="65" y1="0" x2="65" y2="12"/></svg>'
    )


def _notes(gap: Gap, box: Box, line: Line) -> Iterator[str]:
    """What a reader of the table should know about it."""
    if gap.paired:
        yield gap.paired
    if not gap.exact:
        yield (
            "The list’s sums do not add up to its totals: the differences are of what was posted, "
            "not of the totals."
        )
    both = (
        ("Your", gap.ours, box.entry.official_total),
        (f"{name_of(line)}’s", gap.theirs, line.posted.total),
    )
    for whose, sums, posted in both:
        if gap.exact and posted is not None and posted != sums:
            yield f"{whose} numbers come to {brief(sums)}, posted {brief(posted)}."
