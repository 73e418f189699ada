"""Small bars beside numbers, drawn with attributes: the numbers are the truth, bars a help."""

from collections.abc import Sequence
from dataclasses import dataclass

WIDTH = 130.0  # of the drawing, in its own units


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar `length` long, with its range where there is one; 0 to `WIDTH`."""

    length: float
    low: float | None = None
    high: float | None = None
    worst: bool = False


@dataclass(frozen=True, slots=True)
class Amount:
    """What a bar shows, in points; the range may be unknown."""

    value: float
    low: float | None = None
    high: float | None = None
    worst: bool = False


def bars(amounts: Sequence[Amount]) -> list[Bar]:
    """Bars on one scale, from nothing to the furthest end; what is below nothing ends there."""
    furthest = max((max(a.value, a.high or 0.0) for a in amounts), default=0.0)
    scale = WIDTH / furthest if furthest > 0 else 0.0

    def place(value: float | None) -> float | None:
        return None if value is None else round(max(value, 0.0) * scale, 1)

    return [Bar(place(a.value) or 0.0, place(a.low), place(a.high), a.worst) for a in amounts]
