"""One criterion from contest to contest: what its picture draws, and the picture's words."""

import json
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from hashlib import sha256
from itertools import compress, pairwise
from operator import itemgetter
from typing import NamedTuple

from teamops.insight.queries.choices import Selection
from teamops.insight.queries.days import ContestDay, contest_days
from teamops.insight.queries.ledger import changes_within
from teamops.judging.queries.changes import Pattern
from teamops.rules.models import Criterion
from teamops.teams.models import Team

WIDTH, HEIGHT, LINE = 360, 290, 15  # CSS pixels: a phone's page, whole; a line a named change
MOST_TURNS = 2  # of one change that are drawn each by itself
NAMED_TURNS = 8  # of more, the rest stand in the list beside
DRAWING = 4  # counts up when the same numbers are drawn another way
SMOOTH = 0.3  # the newest contest's part in the smoothed line; what came before keeps the rest


class Point(NamedTuple):
    """The mean mark of one contest."""

    contest: str
    mean: float


class Turn(NamedTuple):
    """Something that changed between two contests: as many points as `before` come before it."""

    what: str
    before: int


@dataclass(frozen=True, slots=True)
class Trend:
    """A criterion's mean marks in the order of the contests, on its scale, with what changed."""

    name: str
    least: float
    most: float
    points: tuple[Point, ...]
    turns: tuple[Turn, ...]

    @property
    def size(self) -> tuple[int, int]:
        """How wide and how high it is drawn, in CSS pixels."""
        return WIDTH, HEIGHT + LINE * min(len(self.turns), NAMED_TURNS)

    @property
    def key(self) -> str:
        """A name for exactly this content."""
        content = json.dumps([DRAWING, self.name, self.least, self.most, self.points, self.turns])
        return sha256(content.encode()).hexdigest()[:24]

    @property
    def scale(self) -> tuple[float, float]:
        """The lowest and the highest mark it is drawn between: just below its dots, to the most."""
        means = [point.mean for point in self.points]
        if not means:
            return self.least, self.most
        span = self.most - self.least
        room = max(span * 0.08, (max(means) - min(means)) * 0.25)
        return max(self.least, min(means) - room), self.most

    @property
    def smoothed(self) -> list[float]:
        """The marks smoothed: each contest counts three parts of ten, what came before seven."""
        line: list[float] = []
        for point in self.points:
            before = line[-1] if line else point.mean
            line.append(SMOOTH * point.mean + (1 - SMOOTH) * before)
        return line

    @property
    def words(self) -> str:
        """What the picture shows, for somebody who hears the page."""
        if not self.points:
            return f"{self.name}: no mean mark to draw."
        first, last = self.points[0], self.points[-1]
        low, high = min(self.points, key=itemgetter(1)), max(self.points, key=itemgetter(1))
        many = "one contest" if len(self.points) == 1 else f"{len(self.points)} contests"
        words = f"{self.name}, mean mark at {many}: {first.mean:.2f} at {first.contest}"
        if len(self.points) > 1:
            words += (
                f" first, {last.mean:.2f} at {last.contest} last; lowest {low.mean:.2f} at "
                f"{low.contest}, highest {high.mean:.2f} at {high.contest}"
            )
        low_end, high_end = self.scale
        words += f". Drawn from {low_end:.1f} to {high_end:.1f}"
        return f"{words}.{''.join(self._turn_words(turn) for turn in self.turns)}"

    def _turn_words(self, turn: Turn) -> str:
        return f" “{turn.what}” from after {self.points[turn.before - 1].contest}."


def trend(
    criterion: Criterion, place: int, days: Sequence[ContestDay], changes: Sequence[Pattern]
) -> Trend:
    """One criterion's trend over days that count, where its numbers are in this place; no query.

    The changes say for each of the days whether they were on.
    """
    means_of = [day.known.means[place] for day in days]
    shown = [(day, mean) for day, mean in zip(days, means_of, strict=True) if mean is not None]
    there = [mean is not None for mean in means_of]
    turns = [
        turn for one in changes for turn in _turns(one.change.what, [*compress(one.on, there)])
    ]
    means = [mean for _, mean in shown] or [0.0]  # a scale may be open at either end
    return Trend(
        name=criterion.name,
        least=min(means) if criterion.least is None else float(criterion.least),
        most=max(means) if criterion.most is None else float(criterion.most),
        points=tuple(
            [
                Point(name, round(mean, 6))
                for name, (_, mean) in zip(_names([day for day, _ in shown]), shown, strict=True)
            ]
        ),
        turns=tuple(sorted(turns, key=itemgetter(1))),
    )


def _names(days: Sequence[ContestDay]) -> list[str]:
    """The contests' names; where several have the same, each with its day."""
    times = Counter(day.name for day in days)
    return [
        day.name if times[day.name] == 1 else f"{day.name}, {day.held_on.day} {day.held_on:%b %Y}"
        for day in days
    ]


def _turns(what: str, on: Sequence[bool]) -> Iterator[Turn]:
    """Where a change came and went; of one that came and went more often, only where it began."""
    turns = [place for place, (one, other) in enumerate(pairwise(on), 1) if one != other]
    if len(turns) > MOST_TURNS:
        yield Turn(f"on and off from here: {what}", turns[0])
        return
    for place in turns:
        yield Turn(what if on[place] else f"no more: {what}", place)


def criterion_trend(team: Team, criterion: Criterion, selection: Selection) -> Trend:
    """One criterion's trend over a selection; four queries."""
    days = [day for day in contest_days(team, selection, [criterion.pk]) if day.counts]
    return trend(criterion, 0, days, changes_within(team, selection.category_id, days))
