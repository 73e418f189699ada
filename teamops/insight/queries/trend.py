"""One criterion from contest to contest: what its picture draws, and the picture's words."""

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import date
from hashlib import sha256

from teamops.insight.queries.choices import Selection
from teamops.insight.queries.days import ContestDay, contest_days
from teamops.insight.queries.ledger import changes_within
from teamops.judging.models import Change
from teamops.rules.models import Criterion
from teamops.teams.models import Team

WIDTH, HEIGHT, LINE = 360, 290, 15  # CSS pixels: a phone's page, whole; a line a named change
NAMED_TURNS = 8  # of more, the rest stand in the list beside
DRAWING = 1  # counts up when the same numbers are drawn another way
SMOOTH = 0.3  # the newest contest's part in the smoothed line; what came before keeps the rest


@dataclass(frozen=True, slots=True)
class Point:
    """The mean mark of one contest."""

    contest: str
    on: str
    mean: float


@dataclass(frozen=True, slots=True)
class Turn:
    """A change, standing before the `before`-th point (0: before them all)."""

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
        content = json.dumps([DRAWING, asdict(self)], sort_keys=True)
        return sha256(content.encode()).hexdigest()[:24]

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
        low = min(self.points, key=lambda point: point.mean)
        high = max(self.points, key=lambda point: point.mean)
        many = "one contest" if len(self.points) == 1 else f"{len(self.points)} contests"
        words = f"{self.name}, mean mark at {many}: {first.mean:.2f} at {first.contest}"
        if len(self.points) > 1:
            words += (
                f" first, {last.mean:.2f} at {last.contest} last; lowest {low.mean:.2f} at "
                f"{low.contest}, highest {high.mean:.2f} at {high.contest}"
            )
        return f"{words}.{''.join(self._turn_words(turn) for turn in self.turns)}"

    def _turn_words(self, turn: Turn) -> str:
        if turn.before == 0:
            return f" “{turn.what}” from before the first."
        return f" “{turn.what}” from after {self.points[turn.before - 1].contest}."


def trend(criterion: Criterion, days: Sequence[ContestDay], changes: Sequence[Change]) -> Trend:
    """One criterion's trend over the days that count; no query."""
    shown = [
        (day, account.mean)
        for day in days
        if day.counts and (account := day.accounts.get(criterion.pk)) and account.mean is not None
    ]
    return Trend(
        name=criterion.name,
        least=float(criterion.least),
        most=float(criterion.most),
        points=tuple(Point(day.name, _date(day.held_on), round(mean, 6)) for day, mean in shown),
        turns=tuple(
            Turn(change.what, sum(1 for day, _ in shown if day.held_on < change.starts_on))
            for change in changes
        ),
    )


def criterion_trend(team: Team, criterion: Criterion, selection: Selection) -> Trend:
    """One criterion's trend over a selection; three queries."""
    days = [day for day in contest_days(team, selection, [criterion]) if day.counts]
    return trend(criterion, days, changes_within(team, days))


def _date(day: date) -> str:
    return f"{day.day} {day:%b} {day.year}"
