"""Plans built backward, each step as late as it goes, one taken back where a gap gets too long."""

import heapq
from collections.abc import Mapping, Sequence
from random import Random

from teamops.calc.timing.board import Board
from teamops.calc.timing.net import Built, Net
from teamops.calc.timing.repair import repair

BACK_STEPS = 30  # how often a pass may go back, per step of the day
SHAKE = 12  # ticks by which restarts mix the order inside a box
LATER = (0, 0, 1, 2, 4)  # ticks after its target a box may be aimed at when restarts look around


def search(net: Net, seed: int = 1, tries: int = 60) -> tuple[Built | None, bool]:
    """
    The best plan of so many passes, and whether no plan can be better.

    The first passes take the boxes by their targets, the others at random from `seed`; the same
    seed gives the same plan. None means that no pass came through, not that there is no plan.
    """
    bound, rng = net.least_cost(), Random(seed)  # noqa: S311 - it mixes, it keeps no secret
    best = repair(net) if net.near else None
    behind: dict[int, int] = {}
    for number in range(tries):
        if best and best.cost == bound:
            break
        if number == 2:
            behind = _behind(net)
        order = _order(net, _ranks(net, number, rng), _urgency(net, number, rng))
        built = one_pass(net, order, _aims(net, number, rng, behind), rng if number > 1 else None)
        if built and (best is None or built.cost < best.cost):
            best = built
    return best, best is not None and best.cost == bound


def one_pass(
    net: Net, order: Sequence[int], latest: Sequence[int], rng: Random | None = None
) -> Built | None:
    """
    Place the steps in this order, each as late as its gaps, hands and places allow.

    Where a step cannot be late enough for one placed already (a most gap), that one moves earlier
    and all placed since are taken up again. None if that leads nowhere.

    References
    ----------
    .. [1] K. Neumann, C. Schwindt and J. Zimmermann, "Project Scheduling with Time Windows and
       Scarce Resources," 2nd ed., Springer, 2003 (serial generation with unscheduling).
    """
    board, caps, done = Board(net, rng), list(latest), 0
    budget = BACK_STEPS * len(order)
    spot = {step: i for i, step in enumerate(order)}
    while done < len(order):
        step = order[done]
        high, low, culprit = board.limits(step, caps[step])
        found = board.latest_fit(step, high)
        if found is None:
            return None
        if found[0] >= low:
            board.put(step, *found)
            done += 1
            continue
        budget -= 1
        if culprit is None or budget < 0:
            return None
        for other in order[spot[culprit] : done]:
            board.take(other)
            caps[other] = (
                latest[other] if other != culprit else board.pushed(culprit, step, found[0])
            )
        done = spot[culprit]
    return board.built()


def _ranks(net: Net, number: int, rng: Random) -> list[float]:
    """How soon each box is placed: last targets first, first targets first, then mixed.

    Work without a window comes last: it waits for what waits for it.
    """
    ranks = [-1.0] * (max(net.jobs) + 1)
    first = min((target for _, target in net.ends), default=0)
    wide = max((target for _, target in net.ends), default=0) - first + 1
    for step, target in net.ends:
        since = target - first
        mixed = since + rng.random() * wide
        ranks[net.jobs[step]] = (since, wide - since)[number] if number < 2 else mixed
    return ranks


def _urgency(net: Net, number: int, rng: Random) -> list[float]:
    """What goes first inside a box: what can start latest; every other pass a little mixed."""
    mix = SHAKE if number > 1 and number % 2 else 0
    return [late + mix * rng.random() for late in net.latest]


def _behind(net: Net) -> dict[int, int]:
    """How long after its target the last step of a box first fits, where a meeting lies on it."""
    empty = Board(net)
    fits = ((step, target, empty.earliest_fit(step, target)) for step, target in net.ends)
    return {step: found[0] - target if found else 0 for step, target, found in fits}


def _aims(net: Net, number: int, rng: Random, behind: Mapping[int, int]) -> list[int]:
    """The latest start of each step; the last of a box not after its target, or hardly."""
    latest = list(net.latest)
    for step, target in net.ends:
        after = behind.get(step, 0)
        later = after if number <= 2 else rng.choice((*LATER, after))
        latest[step] = max(net.earliest[step], min(latest[step], target + later))
    return latest


def _order(net: Net, ranks: Sequence[float], urgency: Sequence[float]) -> list[int]:
    """Box by box, each from its end to its start."""
    n = len(net.keys)

    def key(step: int) -> tuple[float, float, int]:
        return -ranks[net.jobs[step]], -urgency[step], -step

    waits = [0] * n
    before: list[list[int]] = [[] for _ in range(n)]
    for a, b, d in net.arcs:
        if d > 0 or (d == 0 and a < b):
            waits[a] += 1
            before[b].append(a)
    heap = [key(i) for i in range(n) if not waits[i]]
    heapq.heapify(heap)
    order = []
    while heap:
        step = -heapq.heappop(heap)[-1]
        order.append(step)
        for other in before[step]:
            waits[other] -= 1
            if not waits[other]:
                heapq.heappush(heap, key(other))
    return order
