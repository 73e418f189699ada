"""What becomes of a plan when steps take as long as they take: chances, and latest safe starts."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from teamops.calc.timing.order import PartialOrder, partial_order
from teamops.calc.timing.records import Day, Edge, Job, Plan, Window
from teamops.calc.timing.spread import Floats, draw_steps
from teamops.calc.timing.ticks import PER_MINUTE

GRAIN = 1e-6  # ticks that float sums may be off


@dataclass(frozen=True, slots=True)
class BoxChance:
    """How often a box comes inside its window, before it opens, after it closes; 0 to 1.

    `turned_in` are the 5, 50 and 95 % points of the moment itself. [ticks]
    """

    job: str
    inside: float
    early: float
    late: float
    turned_in: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class GapChance:
    """How often a most gap or a cap between two steps is broken; 0 to 1."""

    first: str
    then: str
    name: str
    broken: float


@dataclass(frozen=True, slots=True)
class Chances:
    """All boxes, all most gaps that can break (likeliest first), and all boxes at once."""

    boxes: tuple[BoxChance, ...]
    gaps: tuple[GapChance, ...]
    all_inside: float

    def box(self, job: str) -> BoxChance:
        """The chance of this box; KeyError if it has no window."""
        for box in self.boxes:
            if box.job == job:
                return box
        raise KeyError(job)


@dataclass(frozen=True, slots=True)
class SafeStart:
    """A step's planned start, the last one that still makes the window of `job`. [ticks]"""

    step: str
    planned: int
    safe: float
    job: str

    @property
    def slack(self) -> float:
        """How much later than planned it may start; below 0 if the plan itself is not safe."""
        return self.safe - self.planned


@dataclass(frozen=True, slots=True)
class Weakness:
    """The chance of all boxes if this one step takes its longest; 0 to 1."""

    step: str
    all_inside: float


def chances(
    day: Day, plan: Plan, rng: np.random.Generator, *, size: int = 5000, bad_day: float = 1.0
) -> Chances:
    """
    The chance of each box to come inside its window if everybody keeps to the plan's order.

    Steps start as planned, or as soon as what they wait for allows, never earlier; what needs
    nobody and no place, a rest, runs as soon as it can. Durations are independent; `bad_day` slows
    all of them that have a spread (1.15 for rain, 1.3 for a cold grill: common practice). The
    standard error is 0.7 % at most at 5000 draws. Refuses (ValueError) a size below 1 or a
    multiplier not above 0.
    """
    order = partial_order(day, plan)
    lengths = draw_steps(order.steps, size, rng, bad_day)
    starts = _forward(order, lengths)
    spot = {step.key: i for i, step in enumerate(order.steps)}
    boxes, every = [], np.ones(size, dtype=bool)
    for job, window in _boxes(day):
        i = spot[job.last.key]
        at = starts[i] + lengths[i]
        early, late = at < window.opens - GRAIN, at > window.closes + GRAIN
        every &= ~(early | late)
        points = np.quantile(at, (0.05, 0.5, 0.95))
        parts = float(np.mean(~(early | late))), float(early.mean()), float(late.mean())
        boxes.append(BoxChance(job.key, *parts, (points[0], points[1], points[2])))
    return Chances(tuple(boxes), _broken(day, spot, starts, lengths), float(every.mean()))


def safe_starts(
    day: Day,
    plan: Plan,
    rng: np.random.Generator,
    *,
    level: float = 0.95,
    size: int = 5000,
    bad_day: float = 1.0,
) -> dict[str, SafeStart]:
    """
    The last start of each step from which every box it can delay is made at this level.

    Window close less the level's quantile of the longest way from the step's start to the turn-in,
    over all that waits for it; the tightest box counts. Steps no box waits for are left out.
    Refuses (ValueError) a level not between 0 and 1.
    """
    if not 0 < level < 1:
        raise ValueError(f"the level must be between 0 and 1, got {level}")
    order = partial_order(day, plan)
    lengths = draw_steps(order.steps, size, rng, bad_day)
    spot = {step.key: i for i, step in enumerate(order.steps)}
    found: dict[str, SafeStart] = {}
    for job, window in _boxes(day):
        ways = _backward(order, lengths, spot[job.last.key])
        for i, way in ways.items():
            key = order.steps[i].key
            safe = window.closes - float(np.quantile(way, level))
            if key not in found or safe < found[key].safe:
                found[key] = SafeStart(key, order.starts[i], safe, job.key)
    return found


def weaknesses(
    day: Day, plan: Plan, rng: np.random.Generator, *, size: int = 1000, bad_day: float = 1.0
) -> tuple[Weakness, ...]:
    """What a plan is most fragile to: each step at its longest, the others as they come."""
    order = partial_order(day, plan)
    lengths = draw_steps(order.steps, size, rng, bad_day)
    found = []
    for i, step in enumerate(order.steps):
        if step.spread is None or step.spread.high <= step.spread.low:
            continue
        slow = lengths.copy()
        slow[i] = step.spread.high * PER_MINUTE * bad_day
        found.append(Weakness(step.key, _all_inside(day, order, slow)))
    return tuple(sorted(found, key=lambda weakness: weakness.all_inside))


def _boxes(day: Day) -> Iterator[tuple[Job, Window]]:
    return ((job, job.window) for job in day.jobs if job.window)


def _forward(order: PartialOrder, lengths: Floats) -> Floats:
    """Starts of all steps: when they can, but, with hands or a place, never before the plan."""
    starts = np.empty_like(lengths)
    for i, waits in enumerate(order.waits):
        alone = waits and not order.steps[i].hands and not order.steps[i].uses
        at = np.full(lengths.shape[1], -np.inf if alone else float(order.starts[i]))
        for wait in waits:
            ready = starts[wait.first] + wait.least
            if wait.first_edge == Edge.END:
                ready = ready + lengths[wait.first]
            if wait.then_edge == Edge.END:
                ready = ready - lengths[i]
            np.maximum(at, ready, out=at)
        starts[i] = at
    return starts


def _backward(order: PartialOrder, lengths: Floats, last: int) -> dict[int, Floats]:
    """The longest way from the start of each step to the end of `last`. [ticks]"""
    ways: dict[int, Floats] = {last: lengths[last]}
    for then in range(last, -1, -1):
        if then not in ways:
            continue
        for wait in order.waits[then]:
            way = ways[then] + wait.least
            if wait.first_edge == Edge.END:
                way = way + lengths[wait.first]
            if wait.then_edge == Edge.END:
                way = way - lengths[then]
            known = ways.get(wait.first)
            ways[wait.first] = way if known is None else np.maximum(known, way)
    return ways


def _broken(
    day: Day, spot: dict[str, int], starts: Floats, lengths: Floats
) -> tuple[GapChance, ...]:
    def moment(key: str, edge: Edge) -> Floats:
        i = spot[key]
        at: Floats = starts[i] + lengths[i] if edge == Edge.END else starts[i]
        return at

    rules = [(k.before, Edge.END, k.after, Edge.START, k.most, "") for k in day.all_links()]
    rules += [(c.first, c.first_edge, c.then, c.then_edge, c.most, c.name) for c in day.all_caps()]
    found = []
    for first, first_edge, then, then_edge, most, name in rules:
        if most is None:
            continue
        took = moment(then, then_edge) - moment(first, first_edge)
        if share := float(np.mean(took > most + GRAIN)):
            found.append(GapChance(first, then, name, share))
    return tuple(sorted(found, key=lambda gap: -gap.broken))


def _all_inside(day: Day, order: PartialOrder, lengths: Floats) -> float:
    starts = _forward(order, lengths)
    spot = {step.key: i for i, step in enumerate(order.steps)}
    every = np.ones(lengths.shape[1], dtype=bool)
    for job, window in _boxes(day):
        at = starts[spot[job.last.key]] + lengths[spot[job.last.key]]
        every &= (at >= window.opens - GRAIN) & (at <= window.closes + GRAIN)
    return float(every.mean())
