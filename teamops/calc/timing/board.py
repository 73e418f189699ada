"""Where a pass keeps what is placed: starts, who is on them, what hands and places are left."""

from random import Random

from teamops.calc.timing.net import Built, Net

Found = tuple[int, tuple[int, ...]]  # start, people


class Board:
    """A day half planned. Moments are ticks; inside, profiles count from the first start."""

    def __init__(self, net: Net, rng: Random | None = None) -> None:
        self.net, self.rng = net, rng
        self.zero = min(net.earliest)
        span = max(map(sum, zip(net.latest, net.ticks, strict=True))) - self.zero + 1
        self.starts: list[int | None] = [None] * len(net.keys)
        self.crew: list[tuple[int, ...]] = [()] * len(net.keys)
        self.busy = [[0] * span for _ in net.pools]
        self.away = [[0] * span for _ in net.away]
        self.uses = [
            [(p, pool.demands[i]) for p, pool in enumerate(net.pools) if pool.demands[i]]
            for i in range(len(net.keys))
        ]
        fixed = [(profile, pool.taken) for profile, pool in zip(self.busy, net.pools, strict=True)]
        fixed += list(zip(self.away, net.away, strict=True))
        for profile, taken in fixed:
            for start, end, amount in taken:
                _fill(profile, start - self.zero, end - self.zero, amount)
        self.prior: list[list[tuple[int, int]]] = [[] for _ in net.keys]
        self.after: list[list[tuple[int, int]]] = [[] for _ in net.keys]
        for a, b, d in net.arcs:
            self.after[a].append((b, d))
            self.prior[b].append((a, d))

    def limits(self, step: int, latest: int) -> tuple[int, int, int | None]:
        """Last and first start by what is placed, and the placed step that sets the first."""
        high, low, culprit = latest, self.net.earliest[step], None
        for other, d in self.after[step]:
            start = self.starts[other]
            if start is not None and start - d < high:
                high = start - d
        for other, d in self.prior[step]:
            start = self.starts[other]
            if start is not None and start + d > low:
                low, culprit = start + d, other
        return high, low, culprit

    def pushed(self, culprit: int, step: int, start: int) -> int:
        """The last start of a placed step if `step` starts then."""
        return min(start - d for other, d in self.prior[step] if other == culprit)

    def latest_fit(self, step: int, high: int) -> Found | None:
        """The last start up to `high` with hands and places free all along; None if none is."""
        start, ticks, first = high, self.net.ticks[step], self.net.earliest[step]
        while start >= first:
            clash = self._clash(step, start, start + ticks)
            if clash is not None:
                start = clash - ticks
                continue
            team = self._team(step, start, start + ticks)
            if team is not None:
                return start, team
            start -= 1
        return None

    def earliest_fit(self, step: int, low: int) -> Found | None:
        """The first start from `low` on with hands and places free; None if there is none."""
        ticks, low = self.net.ticks[step], max(low, self.net.earliest[step])
        for other, d in self.prior[step]:
            start = self.starts[other]
            if start is not None:
                low = max(low, start + d)
        for start in range(low, self.net.latest[step] + 1):
            if self._clash(step, start, start + ticks) is None:
                team = self._team(step, start, start + ticks)
                if team is not None:
                    return start, team
        return None

    def holder(self, step: int, start: int) -> tuple[int, int] | None:
        """The placed step that would have to start later if `step` starts then, and when."""
        worst = None
        for other, d in self.after[step]:
            at = self.starts[other]
            if at is not None and start + d > at and (worst is None or start + d > worst[1]):
                worst = other, start + d
        return worst

    def put(self, step: int, start: int, team: tuple[int, ...]) -> None:
        """Place a step."""
        self.starts[step], self.crew[step] = start, team
        self._count(step, 1)

    def take(self, step: int) -> None:
        """Take a placed step up again."""
        if self.starts[step] is not None:
            self._count(step, -1)
            self.starts[step], self.crew[step] = None, ()

    def built(self) -> Built:
        """What is placed, as a whole plan; every step must be."""
        starts = tuple(start for start in self.starts if start is not None)
        return Built(starts, tuple(self.crew), self.net.cost(starts))

    def _count(self, step: int, sign: int) -> None:
        start = (self.starts[step] or 0) - self.zero
        end = start + self.net.ticks[step]
        for pool, demand in self.uses[step]:
            _fill(self.busy[pool], start, end, sign * demand)
        for person in self.crew[step]:
            _fill(self.away[person], start, end, sign)

    def _clash(self, step: int, start: int, end: int) -> int | None:
        """The last tick in [start, end) at which a place is missing."""
        for pool, demand in self.uses[step]:
            room = self.net.pools[pool].capacity - demand
            part = self.busy[pool][max(0, start - self.zero) : end - self.zero]
            if part and max(part) > room:
                return end - 1 - next(i for i, used in enumerate(reversed(part)) if used > room)
        return None

    def _team(self, step: int, start: int, end: int) -> tuple[int, ...] | None:
        """People for a step that are free all along; None if there are not enough."""
        if not self.net.crews or not self.net.crews[step].hands:
            return ()
        crew = self.net.crews[step]
        mates = self._mates(step)
        able = mates if mates is not None else crew.able
        part = slice(max(0, start - self.zero), end - self.zero)
        free = [p for p in able if not any(self.away[p][part])]
        if len(free) < crew.hands or (crew.cook is not None and crew.cook not in free):
            return None
        if self.rng:
            self.rng.shuffle(free)
        free.sort(key=lambda p: p != crew.cook)
        return tuple(free[: crew.hands])

    def _mates(self, step: int) -> tuple[int, ...] | None:
        """Who does the steps that go with this one, if one of them is placed."""
        group = self.net.crews[step].group
        for other, crew in enumerate(self.net.crews) if group else ():
            if crew.group == group and self.starts[other] is not None:
                return self.crew[other]
        return None


def _fill(profile: list[int], start: int, end: int, amount: int) -> None:
    for tick in range(max(0, start), min(end, len(profile))):
        profile[tick] += amount
