"""How much of the swing in our marks is luck: the judges, the day, the criterion, and the rest."""

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from hashlib import sha256
from itertools import groupby
from operator import itemgetter
from typing import Any, NamedTuple
from uuid import UUID

import numpy as np
from django.db.models import CharField, Count, Max, Min, Q
from django.db.models.functions import Cast

from teamops.calc import scoring
from teamops.calc.variance import (
    SwingRanges,
    SwingShares,
    luck_share_sentence,
    swing_ranges,
    swing_shares,
    whole_percents,
)
from teamops.insight.queries.choices import Selection
from teamops.insight.queries.days import AS_IT_IS, chosen, dashed
from teamops.judging.models import Result, ScoreSheet
from teamops.rules.models import Criterion
from teamops.teams.models import Team

SEED = 1  # the same sheets always give the same ranges
DRAWING = 1  # counts up when the same numbers are drawn another way
FEW = 12  # contests, below which the page says how rough the shares are
WHAT = {
    "judges": (
        "The judge",
        "strict or mild, or taken by this box: what moves a judge’s whole sheet",
    ),
    "day": ("The day", "what moved all marks of a contest: your cooking, or how they mark there"),
    "criterion": ("A criterion that day", "what moved one criterion for all judges of a contest"),
    "rest": ("One judge’s view", "one judge on one criterion: what nothing else explains"),
}


class LuckPart(NamedTuple):
    """One share of the swing, in whole percent, with its likely range."""

    name: str
    what: str
    percent: int
    low: int
    high: int


@dataclass(frozen=True, slots=True)
class Luck:
    """The shares of a selection's swing; `parts` are empty where they cannot be told apart.

    `table` is how much of what moves a whole table's average is who sat there, `swing` by how much
    a single mark swings (standard deviation), empty where the criteria have unequal scales.
    """

    selection: Selection
    sentence: str
    parts: tuple[LuckPart, ...]
    table: LuckPart | None
    swing: str
    contests: int
    notes: tuple[str, ...]

    @property
    def key(self) -> str:
        """A name for exactly what the picture draws."""
        return sha256(json.dumps([DRAWING, self.parts]).encode()).hexdigest()[:24]

    @property
    def words(self) -> str:
        """What the picture shows, for somebody who hears the page."""
        said = [f"{p.name} {p.percent} %, likely {p.low} to {p.high} %" for p in self.parts]
        return f"Shares of the swing in a single mark. {'; '.join(said)}."


def luck_of(team: Team, selection: Selection) -> Luck:
    """How much is luck in a selection; three queries, however many contests.

    Of a contest's boxes one is read, always the same: two of one day would pass for two days. Of
    several panels the one with most criteria is read, of several rounds the last.
    """
    criteria = _one_panel(Criterion.objects.filter(rulebook=selection.rulebook_id))
    boxes = _boxes(team, selection)
    tables = _tables([box for _, box, _ in boxes], criteria)
    scales = [
        scoring.Criterion(key=row.key, name=row.name, least=row.least, most=row.most)
        for row in criteria
    ]
    if any(c.least is None or c.most is None for c in scales):
        untold = "The rulebook leaves a scale open, so swings cannot be held against each other."
        return Luck(selection, untold, (), None, "", len(tables), ())
    shares = swing_shares(tables, scales)
    ranges = swing_ranges(tables, scales, np.random.default_rng(SEED))
    several = sum(1 for *_, number in boxes if number > 1)
    if shares is None or ranges is None:
        return Luck(selection, luck_share_sentence(None), (), None, "", len(tables), ())
    return Luck(
        selection=selection,
        sentence=luck_share_sentence(shares),
        parts=tuple(_parts(shares, ranges)),
        table=_part("Who sat at the table", "", round(100 * shares.table), ranges.table),
        swing=f"{shares.swing:.2f}" if len({(c.least, c.most) for c in scales}) == 1 else "",
        contests=shares.contests,
        notes=tuple(_notes(shares.contests, several)),
    )


def _one_panel(rows: Iterable[Criterion]) -> list[Criterion]:
    """The criteria of the panel that has most, in their order; one query."""
    criteria = sorted(rows, key=lambda row: (row.order, row.pk))
    panels = [row.panel for row in criteria]
    return [row for row in criteria if row.panel == max(panels, key=panels.count)]


def _boxes(team: Team, selection: Selection) -> list[tuple[Any, UUID, int]]:
    """Of each contest its day, one box with every judge's marks, and how many it had; one query."""
    rows: Iterable[Any] = (
        Result.objects.for_team(team)
        .with_marks()
        .filter(chosen(selection, "entry__"), entry__rulebook=selection.rulebook_id)
        .filter(entry__disqualified=False)
        .order_by()
        .values("entry__contest__held_on", contest=Cast("entry__contest_id", CharField()))
        .annotate(box=Min(Cast("pk", CharField())), number=Count("pk", output_field=AS_IT_IS))
        .order_by("entry__contest__held_on", "contest")
        .values_list("contest", "entry__contest__held_on", "box", "number")
    )
    return [
        (held_on, UUID(box), number)
        for contest, held_on, box, number in rows
        if dashed(contest) not in selection.left_out
    ]


def _tables(boxes: Sequence[UUID], criteria: Sequence[Criterion]) -> list[np.ndarray]:
    """A table of marks a box, a row a sheet, blanks as NaN; one query, a row a sheet."""
    marks = {
        f"mark_{n}": Max("marks__points", filter=Q(marks__criterion=row), output_field=AS_IT_IS)
        for n, row in enumerate(criteria)
    }
    rows: Iterable[Any] = (
        ScoreSheet.objects.filter(entry__in=boxes)
        .order_by()
        .annotate(box=Cast("entry_id", CharField()), **marks)
        .order_by("box", "position", "pk")
        .values_list("box", "round", *marks)
    )
    tables = []
    for _, sheets in groupby(rows, key=itemgetter(0)):
        own = list(sheets)
        last = [row[2:] for row in own if row[1] == own[-1][1]]
        table = np.array(last, dtype=np.float64).reshape(len(last), len(criteria))
        tables.append(table[~np.isnan(table).all(axis=1)])
    return tables


def _parts(shares: SwingShares, ranges: SwingRanges) -> Iterable[LuckPart]:
    percents = whole_percents(tuple(getattr(shares, name) for name in WHAT))
    for percent, (key, (name, what)) in zip(percents, WHAT.items(), strict=True):
        yield _part(name, what, percent, getattr(ranges, key))


def _part(name: str, what: str, percent: int, ends: tuple[float, float]) -> LuckPart:
    """The range holds the share itself: at an edge the two are found in different ways."""
    low, high = (round(100 * end) for end in ends)
    return LuckPart(name, what, percent, min(low, percent), max(high, percent))


def _notes(contests: int, several: int) -> Iterable[str]:
    if contests < FEW:
        yield "The day’s share is the roughest: look at its range before its number."
    if several:
        many = "One contest" if several == 1 else f"{several} contests"
        yield f"{many} with two boxes or more: one of them is read, since a day counts once."
