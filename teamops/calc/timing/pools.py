"""Hands and grills as numbers: places with profiles, who may do what, who ends up doing it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from teamops.calc.timing.records import Block, Day, Step

Taken = tuple[int, int, int]  # start, end, amount


@dataclass(frozen=True, slots=True)
class Pool:
    """Something with `capacity` places: how many each step takes, and what is taken already."""

    name: str
    capacity: int
    demands: tuple[int, ...]
    taken: tuple[Taken, ...]


@dataclass(frozen=True, slots=True)
class Crew:
    """Who may do a step, by position; `hands` of them, the `cook` among them, as the `group` is."""

    hands: int
    able: tuple[int, ...]
    cook: int | None
    group: str


def all_alike(day: Day) -> bool:
    """Whether it does not matter who does what, so that people are a pool like a grill."""
    steps = list(day.steps())
    plain = not any(step.hands and (step.cook or step.same_cook) for step in steps)
    everyone = {person.key for person in day.people}
    together = all(block.people is None or block.people >= everyone for block in day.blocks)
    return plain and together and all(p.may(step) for p in day.people for step in steps)


def pools(day: Day, *, hands: bool) -> tuple[Pool, ...]:
    """The day's resources, and its people if they are to be a pool too."""
    steps = list(day.steps())
    found = []
    for resource in day.resources:
        demands = [dict(step.uses).get(resource.key, 0) for step in steps]
        found.append(_pool(day, resource.name, resource.capacity, demands))
    if hands and day.people:
        demands = [step.hands for step in steps]
        found.append(_pool(day, "hands", len(day.people), demands, day.blocks))
    return tuple(found)


def crews(day: Day) -> tuple[Crew, ...]:
    """Who may do each step; a step that goes with one that has started goes to the same people."""
    on: dict[str, tuple[str, ...]] = {
        step.same_cook: day.crew.get(step.key, ())
        for step in day.steps()
        if step.same_cook and step.key in day.pins
    }
    found = []
    for step in day.steps():
        group = together(day, step)
        able = [i for i, person in enumerate(day.people) if all(map(person.may, group))]
        same = [i for i in able if day.people[i].key in on.get(step.same_cook, ())]
        able = same if len(same) >= step.hands > 0 else able
        named = {one.cook for one in group if one.cook}
        cook = next((i for i in able if day.people[i].key in named), None)
        hands = 0 if step.key in day.pins else step.hands
        found.append(Crew(hands, tuple(able), cook, step.same_cook if hands else ""))
    return tuple(found)


def together(day: Day, step: Step) -> tuple[Step, ...]:
    """The step, and those that go to the same people."""
    if not (step.same_cook and step.hands):
        return (step,)
    return tuple(one for one in day.steps() if one.same_cook == step.same_cook and one.hands)


def away(day: Day) -> tuple[tuple[Taken, ...], ...]:
    """When each person is taken: in a meeting, or on a step that has started."""
    found = []
    for person in day.people:
        taken = [
            (block.start, block.end, 1)
            for block in day.blocks
            if block.people is None or person.key in block.people
        ]
        taken += [
            (day.pins[step.key], day.pins[step.key] + step.ticks, 1)
            for step in day.steps()
            if step.key in day.pins and person.key in day.crew.get(step.key, ())
        ]
        found.append(_profile(taken, day.begins, 1))
    return tuple(found)


def deal(day: Day, starts: Mapping[str, int]) -> dict[str, tuple[str, ...]]:
    """
    Give every step to free people, along the clock, where all of them may do everything.

    Each step goes, where it can, to those who did its box's step before.
    """
    jobs = {step.key: job.key for job in day.jobs for step in job.steps}
    free_at = {person.key: day.begins for person in day.people}
    before: dict[str, tuple[str, ...]] = {}
    dealt: dict[str, tuple[str, ...]] = {}
    for step in sorted(day.steps(), key=lambda s: (s.key not in day.pins, starts[s.key])):
        start, job = starts[step.key], jobs[step.key]
        last = before.get(job, ())
        free = sorted(free_at, key=lambda p: (free_at[p] > start, p not in last, free_at[p]))
        team = day.crew.get(step.key, tuple(free[: step.hands]))
        for person in team if step.ticks else ():
            free_at[person] = max(free_at.get(person, start), start + step.ticks)
        dealt[step.key] = team
        before[job] = team or last
    return dealt


def _pool(
    day: Day, name: str, capacity: int, demands: Sequence[int], blocks: Sequence[Block] = ()
) -> Pool:
    taken = [(block.start, block.end, capacity) for block in blocks]
    live = []
    for step, demand in zip(day.steps(), demands, strict=True):
        started = day.pins.get(step.key)
        if started is not None and demand:
            taken.append((started, started + step.ticks, demand))
        live.append(demand if started is None else 0)
    return Pool(name, capacity, tuple(live), _profile(taken, day.begins, capacity))


def _profile(taken: Sequence[Taken], begins: int, capacity: int) -> tuple[Taken, ...]:
    """What is taken from `begins` on, in pieces that do not overlap, never above the capacity."""
    edges = sorted({max(t, begins) for start, end, _ in taken for t in (start, end)})
    pieces = []
    for start, end in pairwise(edges):
        amount = sum(n for s, e, n in taken if s < end and start < e)
        if amount:
            pieces.append((start, end, min(amount, capacity)))
    return tuple(pieces)
