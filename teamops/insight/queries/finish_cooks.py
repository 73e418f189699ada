"""Boxes with a noted temperature and their doneness marks, as cooks that can be compared."""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal
from enum import StrEnum
from statistics import median
from typing import Any, NamedTuple

from teamops.calc.temperature import CARRIED_C, MEDIUM_C
from teamops.insight.queries.choices import Selection
from teamops.insight.queries.days import chosen
from teamops.judging.models import CriterionResult
from teamops.teams.models import Team

NEAR_C = 1.0  # boxes of one contest so near to each other are one cook, averaged
ENOUGH_PAIRS = 3  # boxes with both temperatures, before the team's own rise is believed


class Moment(StrEnum):
    """Three temperatures that are not the same thing; the first is what a team aims at."""

    PEAK = "peak"
    LAST = "last"
    PULL = "pull"

    @property
    def label(self) -> str:
        """As a sentence names it."""
        return {"peak": "peak", "last": "last seen", "pull": "pull"}[self]


class Box(NamedTuple):
    """One judged box: its mean doneness mark, and in °C what was noted of its temperature."""

    entry_id: str
    contest_id: str
    contest: str
    held_on: date
    mean: float
    peak: float | None
    last: float | None
    pull: float | None
    seen: str

    def at(self, moment: Moment) -> float | None:
        """Its temperature at this moment. [°C]"""
        found: float | None = getattr(self, moment)
        return found

    @property
    def is_mixed_up(self) -> bool:
        """Whether its peak lies below its pull or below what was last seen."""
        peak = self.peak
        return peak is not None and any(x is not None and x > peak for x in (self.last, self.pull))


class Cook(NamedTuple):
    """A contest's box, or its boxes that finished near each other, averaged. [°C, marks]"""

    number: int
    boxes: tuple[Box, ...]
    at_c: float
    mean: float
    left_out: bool

    @property
    def box(self) -> Box:
        return self.boxes[0]


def boxes_of(team: Team, selection: Selection, criterion: int) -> list[Box]:
    """The boxes of the selection that this criterion was marked on, oldest first; one query.

    Without disqualified ones and those cooked for another team.
    """
    path = "result__entry__"
    rows: Any = (
        CriterionResult.objects.for_team(team)
        .filter(chosen(selection, path), criterion=criterion, mean__isnull=False)
        .filter(**{f"{path}disqualified": False})
        .order_by(f"{path}contest__held_on", f"{path}contest__name", "result_id")
        .values_list(
            "result_id", f"{path}contest_id", f"{path}contest__name", f"{path}contest__held_on",
            "mean", f"{path}peak_c", f"{path}last_seen_c", f"{path}pull_c", f"{path}doneness_seen",
        )
    )  # fmt: skip
    return [
        Box(
            str(pk), str(contest), name, day, float(mean),
            peak=_number(peak), last=_number(last), pull=_number(pull), seen=seen,
        )
        for pk, contest, name, day, mean, peak, last, pull, seen in rows
    ]  # fmt: skip


def _number(value: Decimal | None) -> float | None:
    return None if value is None else float(value)


def usual_moment(boxes: Iterable[Box]) -> Moment:
    """The moment that most boxes have; of several, the first of peak, last seen and pull."""
    counts = dict.fromkeys(Moment, 0)
    for box in boxes:
        for moment in Moment:
            counts[moment] += box.at(moment) is not None
    return max(Moment, key=lambda moment: counts[moment])


def cooks_of(boxes: Iterable[Box], moment: Moment, left_out: frozenset[str]) -> list[Cook]:
    """Cooks with this temperature, in the order of their boxes.

    Two boxes of one contest share its day and judges: where they finished within 1 °C they are one
    cook. Further apart each is a cook of its own, since their mean was cooked by nobody.
    """
    by_contest: dict[str, list[Box]] = {}
    for box in boxes:
        if box.at(moment) is not None:
            by_contest.setdefault(box.contest_id, []).append(box)
    groups = [group for some in by_contest.values() for group in _near(some, moment)]
    return [
        Cook(
            number=number,
            boxes=group,
            at_c=_mean([box.at(moment) or 0.0 for box in group]),
            mean=_mean([box.mean for box in group]),
            left_out=group[0].contest_id in left_out,
        )
        for number, group in enumerate(groups, start=1)
    ]


def _near(boxes: Sequence[Box], moment: Moment) -> list[tuple[Box, ...]]:
    groups: list[list[Box]] = []
    for box in sorted(boxes, key=lambda box: box.at(moment) or 0.0):
        first = groups[-1][0].at(moment) if groups else None
        if first is not None and (box.at(moment) or 0.0) - first <= NEAR_C:
            groups[-1].append(box)
        else:
            groups.append([box])
    return [tuple(group) for group in groups]


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)


class Target(NamedTuple):
    """Where the search starts, and how it was come by. [°C]

    `aim_c` is the peak aimed at. `rise_c` lies between this moment and the peak, from so many
    `pairs` of the team's own boxes, or 0 pairs where a usual figure is taken.
    """

    at_c: float
    aim_c: float
    is_own: bool
    rise_c: float
    pairs: int


def target_of(aim_c: Decimal | None, moment: Moment, boxes: Iterable[Box]) -> Target:
    """Where the best temperature is looked for: about the aim, which is a peak.

    Without an aim of the team's own, the middle of medium. A pull lies below its peak by what the
    team's own boxes rose, where three or more have both, else by 5 °F; what was last seen by what
    the boxes rose from there, else by nothing. Both figures are common practice, without a source.
    """
    aim = MEDIUM_C if aim_c is None else float(aim_c)
    rises = [
        box.peak - at
        for box in boxes
        if box.peak is not None and (at := box.at(moment)) is not None and not box.is_mixed_up
    ]
    rise, pairs = {Moment.PULL: CARRIED_C}.get(moment, 0.0), 0
    if moment is not Moment.PEAK and len(rises) >= ENOUGH_PAIRS:
        rise, pairs = median(rises), len(rises)
    return Target(aim - rise, aim, aim_c is not None, rise, pairs)
