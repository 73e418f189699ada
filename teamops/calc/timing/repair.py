"""A plan that has slipped, put right forward: all stays where it was, or moves just enough."""

from teamops.calc.timing.board import Board
from teamops.calc.timing.net import Built, Net

AHEAD_STEPS = 30  # how often a step may be taken up again, per step of the day


def repair(net: Net) -> Built | None:
    """
    Each step at its old start or as soon after it as gaps, hands and places allow.

    Where that leaves a gap too long, the step before it waits as well. None if that does not
    come through, or nothing was planned before.
    """
    if not net.near:
        return None
    floors = list(net.earliest)
    for step, old in net.near:
        floors[step] = max(floors[step], min(old, net.latest[step]))
    order = sorted(range(len(floors)), key=lambda i: (floors[i], i))
    spot = {step: i for i, step in enumerate(order)}
    board, base, done = Board(net), tuple(floors), 0
    budget = AHEAD_STEPS * len(order)
    while done < len(order):
        step = order[done]
        found = board.earliest_fit(step, floors[step])
        if found is None:
            return None
        holder = board.holder(step, found[0])
        if holder is None:
            board.put(step, *found)
            done += 1
            continue
        culprit, least = holder
        budget -= 1
        if budget < 0 or least > net.latest[culprit]:
            return None
        for other in order[spot[culprit] : done]:
            board.take(other)
            floors[other] = base[other] if other != culprit else least
        done = spot[culprit]
    return board.built()
