"""Does a day make sense before anything is planned? What does not is said in one sentence."""

from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import pairwise

from teamops.calc.timing.records import Day, Edge, Job, Step
from teamops.calc.timing.ticks import minutes_of
from teamops.calc.words import list_words

Arc = tuple[int, int, int]  # first, second, ticks: second starts at least so long after first


def refuse_nonsense(day: Day) -> None:
    """
    Refuse (ValueError) a day that no plan could be made for whatever the clock says.

    No jobs or steps, a name used twice or unknown, lengths below 0, a window that closes before it
    opens or a target outside it, steps that wait for each other in a ring, gaps that add up to more
    than their cap, nobody (or too few) to do a step, more places asked than there are.
    """
    if not day.jobs:
        raise ValueError("there is nothing to plan: no box and no other work")
    for job in day.jobs:
        _refuse_job(job)
    _refuse_names(day)
    for step in day.steps():
        _refuse_step(day, step)
    _refuse_uneven_groups(day)
    _refuse_ring(day)
    _refuse_tight_caps(day)


def arcs_of(day: Day, places: dict[str, int]) -> list[Arc]:
    """Gaps and caps as least times between two starts; a most time is a negative arc. [ticks]"""
    ticks = {step.key: step.ticks for step in day.steps()}
    found: list[Arc] = []
    for link in day.all_links():
        a, b, length = places[link.before], places[link.after], ticks[link.before]
        found.append((a, b, length + link.least))
        if link.most is not None:
            found.append((b, a, -length - link.most))
    for cap in day.all_caps():
        a, b = places[cap.first], places[cap.then]
        shift = ticks[cap.first] if cap.first_edge == Edge.END else 0
        shift -= ticks[cap.then] if cap.then_edge == Edge.END else 0
        if cap.least is not None:
            found.append((a, b, cap.least + shift))
        if cap.most is not None:
            found.append((b, a, -cap.most - shift))
    return found


def rising_ring(n: int, arcs: Sequence[Arc]) -> list[int] | None:
    """Steps whose arcs lead back to where they began, later than they began; None if none do."""
    at, parent, moved = [0] * n, [-1] * n, -1
    for _ in range(n + 1):
        moved = -1
        for a, b, d in arcs:
            if at[a] + d > at[b]:
                at[b], parent[b], moved = at[a] + d, a, b
        if moved < 0:
            return None
    for _ in range(n):  # back until we are on the ring for sure
        moved = parent[moved]
    ring = [moved]
    while (i := parent[ring[-1]]) != moved:
        ring.append(i)
    return ring[::-1]


def waiting_ring(keys: Iterable[str], pairs: Iterable[tuple[str, str]]) -> list[str]:
    """Steps that wait for each other, or are behind such steps; nothing if all can be ordered."""
    pairs = set(pairs)
    waits = Counter(after for _, after in pairs)
    ready = [key for key in keys if not waits[key]]
    while ready:
        done = ready.pop()
        for before, after in pairs:
            if before == done:
                waits[after] -= 1
                if not waits[after]:
                    ready.append(after)
    return [key for key in keys if waits[key] > 0]


def _refuse_names(day: Day) -> None:
    groups = {
        "job": [job.key for job in day.jobs],
        "step": [step.key for step in day.steps()],
        "person": [person.key for person in day.people],
        "resource": [resource.key for resource in day.resources],
    }
    for noun, keys in groups.items():
        twice = [key for key, count in Counter(keys).items() if count > 1]
        if twice:
            raise ValueError(f"the {noun} {twice[0]} is there twice")
    named = [key for link in day.all_links() for key in (link.before, link.after)]
    named += [key for cap in day.all_caps() for key in (cap.first, cap.then)]
    for key in [*named, *day.pins, *day.near]:
        if key not in groups["step"]:
            raise ValueError(f"there is no step {key}")
    for block in day.blocks:
        strangers = (block.people or frozenset()) - set(groups["person"])
        if block.end < block.start or strangers:
            raise ValueError(f"{block.name} ends before it starts, or is for somebody unknown")


def _refuse_job(job: Job) -> None:
    if not job.steps:
        raise ValueError(f"{job.name} has no steps")
    window = job.window
    if window and not window.opens <= window.target <= window.closes:
        raise ValueError(f"{job.name}: the window must open before it closes, its target inside")


def _refuse_step(day: Day, step: Step) -> None:
    if step.ticks < 0 or step.hands < 0:
        raise ValueError(f"{step.name} takes less than no time or hands")
    if step.least is not None and not 0 <= step.least <= step.ticks:
        raise ValueError(f"{step.name} cannot be cut to {minutes_of(step.least):g} min")
    able = [person for person in day.people if person.may(step)]
    if step.hands > len(able):
        doing = f" who may do {step.skill}" if step.skill else ""
        raise ValueError(f"{step.name} wants {step.hands} people{doing}, there are {len(able)}")
    if step.cook and step.hands and step.cook not in [person.key for person in able]:
        raise ValueError(f"{step.name} is for {step.cook}, who is not there or may not do it")
    places = {resource.key: resource.capacity for resource in day.resources}
    for key, amount in step.uses:
        if not 0 <= amount <= places.get(key, -1):
            have = places.get(key, 0)
            raise ValueError(f"{step.name} wants {amount} places on {key}, there are {have}")


def _refuse_uneven_groups(day: Day) -> None:
    """Steps that go to the same people must find people who may do all of them."""
    groups: dict[str, list[Step]] = {}
    for step in day.steps():
        if step.same_cook and step.hands:
            groups.setdefault(step.same_cook, []).append(step)
    for steps in groups.values():
        names = list_words([step.name for step in steps])
        if len({step.hands for step in steps}) > 1 or len({s.cook for s in steps if s.cook}) > 1:
            raise ValueError(f"{names} go together, and want other hands")
        able = [p.key for p in day.people if all(map(p.may, steps))]
        if len(able) < steps[0].hands or any(s.cook and s.cook not in able for s in steps):
            raise ValueError(f"{names} go together, and nobody may do them all")


def _refuse_ring(day: Day) -> None:
    steps = {step.key: step.name for step in day.steps()}
    ring = waiting_ring(steps, ((link.before, link.after) for link in day.all_links()))
    if ring:
        raise ValueError(f"{list_words([steps[key] for key in ring])} wait for each other")


def _refuse_tight_caps(day: Day) -> None:
    steps = list(day.steps())
    arcs = arcs_of(day, {step.key: i for i, step in enumerate(steps)})
    ring = rising_ring(len(steps), arcs)
    if ring is None:
        return
    longest: dict[tuple[int, int], int] = {}
    for a, b, d in arcs:
        longest[a, b] = max(d, longest.get((a, b), d))
    over = sum(longest[pair] for pair in pairwise([*ring, ring[0]]))
    names = list_words([steps[i].name for i in ring])
    raise ValueError(f"{names}: the gaps need {minutes_of(over):g} min more than the caps allow")
