"""Why a day cannot work: more hand-minutes or grill-minutes asked of a stretch than it has."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from teamops.calc.timing.net import Net, TooTight, build
from teamops.calc.timing.pools import Pool
from teamops.calc.timing.records import Day

Ints = NDArray[np.int64]


class Short(StrEnum):
    """What there is too little of."""

    TIME = "time"  # between the day's start, the gaps and the window, whoever helps
    HANDS = "hands"
    PLACES = "places"


@dataclass(frozen=True, slots=True)
class Clash:
    """
    What a stretch [start, end) asks and has. [ticks; ticks × hands or places for `need`, `have`]

    `jobs` are those that ask; `name` is the grill, or the people's keys where only some may do it.
    """

    short: Short
    jobs: tuple[str, ...]
    start: int
    end: int
    need: int
    have: int
    name: str = ""

    @property
    def by(self) -> int:
        """How much is missing. [ticks × hands or places]"""
        return self.need - self.have


def find_clash(day: Day) -> Clash | None:
    """
    The worst proof that a day cannot work; None if this test finds none.

    The test is one-sided: it counts what must be done inside each stretch however the day is
    planned, so a clash is certain, while no clash promises no plan. Refuses (ValueError) nonsense.

    References
    ----------
    .. [1] P. Baptiste, C. Le Pape and W. Nuijten, "Constraint-Based Scheduling," Springer, 2001
       (energetic reasoning).
    """
    try:
        net = build(day)
    except TooTight as tight:
        return _out_of_time(day, tight)
    clashes = [clash for pool in _all_pools(day, net) if (clash := _worst(day, net, pool))]
    return max(clashes, key=lambda clash: clash.by, default=None)


def stretch_need(net: Net, pool: Pool, start: int, end: int) -> tuple[int, int]:
    """What must be done in [start, end) and what the pool can do there. [ticks × capacity units]"""
    need = _must(net, pool, start, np.array([end]))
    return int(need.sum()), int(_room(pool, start, np.array([end]))[0])


def _out_of_time(day: Day, tight: TooTight) -> Clash:
    owners = [job for job in day.jobs for _ in job.steps]
    job = owners[tight.step]
    end = job.window.closes if job.window else day.begins
    have = max(0, end - day.begins)
    return Clash(Short.TIME, (job.key,), day.begins, end, have + tight.by, have)


def _all_pools(day: Day, net: Net) -> Iterator[Pool]:
    """Grills and hands; where people differ, each set of people that some steps depend on."""
    yield from net.pools
    needs = [frozenset(crew.able) for crew in net.crews]
    named = [frozenset([c.cook]) for c in net.crews if c.cook is not None and c.hands]
    everyone = frozenset(range(len(day.people)))
    for people in sorted({everyone, *needs, *named} if net.crews else (), key=sorted):
        demands = tuple(
            crew.hands
            if able <= people
            else int(bool(crew.hands) and crew.cook is not None and people == {crew.cook})
            for crew, able in zip(net.crews, needs, strict=True)
        )
        taken = tuple(piece for p in people for piece in net.away[p])
        name = "" if people == everyone else ",".join(sorted(day.people[p].key for p in people))
        yield Pool(f"hands {name}".strip(), len(people), demands, taken)


def _worst(day: Day, net: Net, pool: Pool) -> Clash | None:
    """The stretch that is short of most."""
    users = [i for i, demand in enumerate(pool.demands) if demand]
    begins = sorted({net.earliest[i] for i in users} | {net.latest[i] for i in users})
    overs = sorted({at + net.ticks[i] for i in users for at in (net.earliest[i], net.latest[i])})
    worst: tuple[int, int, int] | None = None
    ends: Ints = np.array(overs, dtype=np.int64)
    for start in begins:
        short = _must(net, pool, start, ends).sum(axis=1) - _room(pool, start, ends)
        short[ends <= start] = 0
        top = int(short.argmax())
        if short[top] > 0 and (worst is None or short[top] > worst[0]):
            worst = int(short[top]), start, int(ends[top])
    return _clash(day, net, pool, worst[1], worst[2]) if worst else None


def _clash(day: Day, net: Net, pool: Pool, start: int, end: int) -> Clash:
    must = _must(net, pool, start, np.array([end]))[0]
    asking = [day.jobs[net.jobs[i]].key for i in range(len(net.keys)) if must[i]]
    need, have = stretch_need(net, pool, start, end)
    hands = pool.name.startswith("hands")
    name = pool.name.removeprefix("hands").strip() if hands else pool.name
    short = Short.HANDS if hands else Short.PLACES
    return Clash(short, tuple(dict.fromkeys(asking)), start, end, need, have, name)


def _must(net: Net, pool: Pool, start: int, ends: Ints) -> Ints:
    """What each step must do in [start, end), as early or as late as it goes: ends × steps."""
    ticks, demand = np.array(net.ticks), np.array(pool.demands)
    if_early = np.array(net.earliest) + ticks - start
    if_late = ends[:, None] - np.array(net.latest)
    inside = np.minimum(np.minimum(if_early, ticks), np.minimum(if_late, (ends - start)[:, None]))
    least: Ints = np.maximum(inside, 0) * demand
    return least


def _room(pool: Pool, start: int, ends: Ints) -> Ints:
    """What the pool has left in [start, end)."""
    room: Ints = pool.capacity * (ends - start)
    for begin, end, amount in pool.taken:
        room = room - amount * np.maximum(0, np.minimum(end, ends) - max(begin, start))
    return room
