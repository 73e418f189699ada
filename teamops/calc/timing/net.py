"""A day as numbers: steps by position, gaps as arcs, hands and grills as pools with profiles."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from teamops.calc.timing.pools import Crew, Pool, Taken, all_alike, away, crews, deal, pools
from teamops.calc.timing.records import Day, Plan, Step
from teamops.calc.timing.sense import Arc, arcs_of, refuse_nonsense

DEVIATION = 1000  # what a tick away from the target costs, against a tick of an earlier first step


@dataclass(frozen=True, slots=True)
class Net:
    """
    A day as numbers, for whatever plans it. [ticks]

    `earliest` and `latest` hold each start with all gaps and windows reckoned in. Where people are
    all alike they are a pool; where not, `crews` says who may do each step and `away` when each
    person is taken. `ends` are (step, the start that meets the target), `firsts` the steps that
    should start late, counted from `close`; `near` (step, old start) replaces them in a new plan.
    """

    keys: tuple[str, ...]
    jobs: tuple[int, ...]
    ticks: tuple[int, ...]
    arcs: tuple[Arc, ...]
    earliest: tuple[int, ...]
    latest: tuple[int, ...]
    pools: tuple[Pool, ...]
    crews: tuple[Crew, ...]
    away: tuple[tuple[Taken, ...], ...]
    ends: tuple[tuple[int, int], ...]
    firsts: tuple[int, ...]
    near: tuple[tuple[int, int], ...]
    close: int

    def cost(self, starts: Sequence[int]) -> int:
        """What a plan costs: 1000 a tick off target, 1 a tick of an early first step (or move)."""
        off = sum(abs(starts[i] - target) for i, target in self.ends)
        if self.near:
            return DEVIATION * off + sum(abs(starts[i] - old) for i, old in self.near)
        return DEVIATION * off + sum(self.close - starts[i] for i in self.firsts)

    def least_cost(self) -> int:
        """What no plan can be cheaper than: targets met, the first steps as late as they go."""
        if self.near:
            return 0
        wanted = list(self.latest)
        for i, target in self.ends:
            wanted[i] = min(wanted[i], target)
        off = sum(target - wanted[i] for i, target in self.ends if wanted[i] < target)
        pull(wanted, self.arcs)
        return DEVIATION * off + sum(self.close - wanted[i] for i in self.firsts)


@dataclass(frozen=True, slots=True)
class Built:
    """A whole plan in numbers: starts [ticks], people by position, and what it costs."""

    starts: tuple[int, ...]
    crew: tuple[tuple[int, ...], ...]
    cost: int


class TooTight(Exception):  # noqa: N818 - it is an answer, not a mistake
    """A step would have to start before it can, by so many ticks, hands and grills aside."""

    def __init__(self, step: int, by: int) -> None:
        super().__init__(step, by)
        self.step, self.by = step, by


def build(day: Day) -> Net:
    """The day as numbers. Refuses (ValueError) nonsense; TooTight if the clock alone forbids it."""
    refuse_nonsense(day)
    steps = list(day.steps())
    places = {step.key: i for i, step in enumerate(steps)}
    arcs = _live(arcs_of(day, places), [step.key in day.pins for step in steps])
    earliest, latest = _bounds(day, steps, arcs)
    alike = all_alike(day)
    windows = [(places[job.last.key], job.window, job.last) for job in day.jobs if job.window]
    return Net(
        keys=tuple(places),
        jobs=tuple(i for i, job in enumerate(day.jobs) for _ in job.steps),
        ticks=tuple(step.ticks for step in steps),
        arcs=tuple(arcs),
        earliest=earliest,
        latest=latest,
        pools=pools(day, hands=alike),
        crews=() if alike else crews(day),
        away=() if alike else away(day),
        ends=tuple((i, w.target - s.ticks) for i, w, s in windows if s.key not in day.pins),
        firsts=_firsts(day, places),
        near=tuple((places[key], old) for key, old in day.near.items() if key not in day.pins),
        close=max((window.closes for _, window, _ in windows), default=day.begins),
    )


def plan_of(day: Day, net: Net, starts: Sequence[int], crew: Sequence[tuple[int, ...]]) -> Plan:
    """Numbers back as a plan; where people are alike they are dealt out along the clock."""
    by_key = dict(zip(net.keys, starts, strict=True))
    if not net.crews:
        return Plan(by_key, deal(day, by_key))
    names = [tuple(day.people[p].key for p in team) for team in crew]
    return Plan(by_key, dict(zip(net.keys, names, strict=True)) | dict(day.crew))


def _live(arcs: Iterable[Arc], pinned: Sequence[bool]) -> list[Arc]:
    """The arcs without those between two steps that have both happened."""
    return [arc for arc in arcs if not (pinned[arc[0]] and pinned[arc[1]])]


def _bounds(
    day: Day, steps: Sequence[Step], arcs: Sequence[Arc]
) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """First and last start of each step by the clock alone."""
    last = {job.last.key: job.window for job in day.jobs if job.window}
    far = _far(day, arcs)
    low, high = [day.begins] * len(steps), [far] * len(steps)
    for i, step in enumerate(steps):
        window = last.get(step.key)
        if step.key in day.pins:
            low[i] = high[i] = day.pins[step.key]
        elif window:
            low[i] = max(day.begins, window.opens - step.ticks)
            high[i] = window.closes - step.ticks
    push(low, arcs)
    pull(high, arcs)
    worst = max(range(len(steps)), key=lambda i: low[i] - high[i])
    if low[worst] > high[worst]:
        raise TooTight(worst, low[worst] - high[worst])
    return tuple(low), tuple(high)


def push(low: list[int], arcs: Sequence[Arc]) -> None:
    """Raise first starts in place until all arcs hold, or they never will. [ticks]"""
    moved, rounds = True, 0
    while moved and rounds <= len(low):
        moved, rounds = False, rounds + 1
        for a, b, d in arcs:
            if low[a] + d > low[b]:
                low[b], moved = low[a] + d, True


def pull(high: list[int], arcs: Sequence[Arc]) -> None:
    """Lower last starts in place until all arcs hold, or they never will. [ticks]"""
    moved, rounds = True, 0
    while moved and rounds <= len(high):
        moved, rounds = False, rounds + 1
        for a, b, d in reversed(arcs):
            if high[b] - d < high[a]:
                high[a], moved = high[b] - d, True


def _far(day: Day, arcs: Sequence[Arc]) -> int:
    """A moment by which everything can be over."""
    known = [job.window.closes for job in day.jobs if job.window]
    known += [block.end for block in day.blocks] + list(day.near.values())
    loose = any(job.window is None for job in day.jobs)
    return max(known, default=day.begins) + sum(d for _, _, d in arcs if loose and d > 0)


def _firsts(day: Day, places: Mapping[str, int]) -> tuple[int, ...]:
    """The steps nothing of their own job comes before, by position."""
    found = []
    for job in day.jobs:
        later = {link.after for link in job.links}
        later |= {cap.then for cap in job.caps if cap.least is not None}
        found += [places[s.key] for s in job.steps if s.key not in later and s.key not in day.pins]
    return tuple(found)
