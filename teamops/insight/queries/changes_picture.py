"""What the picture of a change draws: each criterion's difference with its two ranges, in words."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256
from typing import NamedTuple

from teamops.calc.effects import ChangeEffect, Effect
from teamops.rules.models import Criterion

WIDTH, TOP, LINE = 360, 92, 38  # CSS pixels: a phone's page; what stands around; a line each
DRAWING = 1  # counts up when the same numbers are drawn another way
WHOLE = "Whole box"


class Interval(NamedTuple):
    """A difference with the ends of its 80 % and of its 95 % range."""

    name: str
    change: float
    likely: tuple[float, float]
    wide: tuple[float, float]


@dataclass(frozen=True, slots=True)
class EffectPicture:
    """The differences in one unit, all criteria together first."""

    unit: str
    rows: tuple[Interval, ...]

    @property
    def size(self) -> tuple[int, int]:
        """How wide and how high it is drawn, in CSS pixels."""
        return WIDTH, TOP + LINE * len(self.rows)

    @property
    def key(self) -> str:
        """A name for exactly this content."""
        content = json.dumps([DRAWING, self.unit, self.rows])
        return sha256(content.encode()).hexdigest()[:24]

    @property
    def words(self) -> str:
        """What the picture shows, for somebody who hears the page."""
        said = [
            f"{row.name} {row.change:+.1f}, 80 % range {row.likely[0]:+.1f} to"
            f" {row.likely[1]:+.1f}, 95 % range {row.wide[0]:+.1f} to {row.wide[1]:+.1f}"
            for row in self.rows
        ]
        return f"With the change less without it, in {self.unit}. {'; '.join(said)}."


def effect_picture(effect: ChangeEffect, criteria: Sequence[Criterion]) -> EffectPicture | None:
    """The picture of a comparison; None where nothing could be compared. No query.

    Where the scales differ, all is told in percent of them.
    """
    widths = [float((row.most or 0) - (row.least or 0)) for row in criteria]
    times = [1.0, *(1.0 for _ in widths)]
    if not effect.alike:
        times = [100.0, *(100 / width for width in widths)]
    rows = [
        _interval(WHOLE if one is effect.overall else one.name, one, by)
        for one, by in zip((effect.overall, *effect.lines), times, strict=True)
    ]
    there = tuple(row for row in rows if row is not None)
    if not there:
        return None
    return EffectPicture("marks" if effect.alike else "% of the scale", there)


def _interval(name: str, effect: Effect, by: float) -> Interval | None:
    if effect.change is None or effect.span_80 is None or effect.span_95 is None:
        return None
    ends = [
        (round(by * span.low, 4), round(by * span.high, 4))
        for span in (effect.span_80, effect.span_95)
    ]
    return Interval(name, round(by * effect.change, 4), *ends)
