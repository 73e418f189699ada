"""Who waits for whom in a plan: the gaps of the recipe, and the next user of a cook or a place."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from teamops.calc.timing.records import Day, Edge, Plan, Step


@dataclass(frozen=True, slots=True)
class Wait:
    """The `then` edge of one step, at least so long after the edge of another; by position.

    `hands` says that it is for a person or a place, not for the recipe. [ticks]
    """

    first: int
    then: int
    least: int = 0
    first_edge: Edge = Edge.END
    then_edge: Edge = Edge.START
    hands: bool = False


@dataclass(frozen=True, slots=True)
class PartialOrder:
    """Steps in the order of the plan, planned starts [ticks], and who waits for whom."""

    steps: tuple[Step, ...]
    starts: tuple[int, ...]
    waits: tuple[tuple[Wait, ...], ...]  # of each step, for steps before it


def partial_order(day: Day, plan: Plan) -> PartialOrder:
    """
    What is left of a plan when durations change: orders, not moments.

    Each step waits for its least gaps and caps, and for whoever had its people and its places just
    before. Meetings do not move and are not waited for. Refuses (KeyError) a plan of another day.
    """
    place = {step.key: i for i, step in enumerate(day.steps())}
    steps = sorted(
        day.steps(), key=lambda s: (plan.starts[s.key], plan.starts[s.key] + s.ticks, place[s.key])
    )
    spot = {step.key: i for i, step in enumerate(steps)}
    waits: list[list[Wait]] = [[] for _ in steps]
    for wait in [*_gaps(day, spot), *_people(plan, steps), *_places(day, plan, steps)]:
        if wait.first < wait.then:
            waits[wait.then].append(wait)
    starts = tuple(plan.starts[step.key] for step in steps)
    return PartialOrder(tuple(steps), starts, tuple(map(tuple, waits)))


def _gaps(day: Day, spot: dict[str, int]) -> list[Wait]:
    found = [Wait(spot[link.before], spot[link.after], link.least) for link in day.all_links()]
    found += [
        Wait(spot[cap.first], spot[cap.then], cap.least, cap.first_edge, cap.then_edge)
        for cap in day.all_caps()
        if cap.least is not None
    ]
    return found


def _people(plan: Plan, steps: Sequence[Step]) -> list[Wait]:
    turns: dict[str, list[int]] = {}
    for i, step in enumerate(steps):
        for person in plan.crew.get(step.key, ()):
            turns.setdefault(person, []).append(i)
    return [Wait(a, b, hands=True) for mine in turns.values() for a, b in pairwise(mine)]


def _places(day: Day, plan: Plan, steps: Sequence[Step]) -> list[Wait]:
    """Each place of a resource goes to the step that comes when it has been free the longest."""
    found = []
    for resource in day.resources:
        slots: list[tuple[int, int]] = [(day.begins, -1)] * resource.capacity  # free at, last user
        for i, step in enumerate(steps):
            start, amount = plan.starts[step.key], dict(step.uses).get(resource.key, 0)
            free = sorted(range(len(slots)), key=lambda k: (slots[k][0] > start, -slots[k][0]))
            for slot in free[:amount]:
                if slots[slot][1] >= 0:
                    found.append(Wait(slots[slot][1], i, hands=True))
                slots[slot] = (start + step.ticks, i)
    return found
