"""A day on a coarser clock: quicker to plan, and sound in one direction at a time."""

from collections.abc import Sequence
from dataclasses import replace

from teamops.calc.timing.net import Net
from teamops.calc.timing.pools import Taken


def is_exact(net: Net, by: int) -> bool:
    """
    Whether every length and moment is a multiple, so that the coarse day is the same day.

    Rounding all starts of a plan down to multiples then keeps every gap and every order of two
    steps, and the cheapest plan of a given order lies on multiples: both answers carry over.
    """
    numbers = [*net.ticks, *net.earliest, *net.latest, *(d for _, _, d in net.arcs)]
    numbers += [at for _, at in (*net.ends, *net.near)]
    numbers += [at for pool in net.pools for piece in pool.taken for at in piece[:2]]
    numbers += [at for taken in net.away for piece in taken for at in piece[:2]]
    return all(number % by == 0 for number in numbers)


def coarser(net: Net, by: int) -> Net | None:
    """
    The day in steps of `by` ticks, everything rounded to the harder side; None if nothing fits.

    Its plans, starts times `by`, are plans of the true day. That it has none proves nothing.
    """
    bounds = [-(-low // by) for low in net.earliest], [high // by for high in net.latest]
    if any(low > high for low, high in zip(*bounds, strict=True)):
        return None
    return replace(
        _scaled(net, by),
        ticks=tuple(-(-ticks // by) for ticks in net.ticks),
        arcs=tuple((a, b, -(-d // by)) for a, b, d in net.arcs),
        earliest=tuple(bounds[0]),
        latest=tuple(bounds[1]),
        pools=tuple(replace(p, taken=_wider(p.taken, by, p.capacity)) for p in net.pools),
        away=tuple(_wider(taken, by, 1) for taken in net.away),
    )


def looser(net: Net, by: int) -> Net:
    """
    The day in steps of `by` ticks, everything rounded to the easier side.

    That it has no plan proves that the true day has none. Its plans prove nothing.
    """
    return replace(
        _scaled(net, by),
        ticks=tuple(ticks // by for ticks in net.ticks),
        arcs=tuple((a, b, d // by) for a, b, d in net.arcs),
        earliest=tuple(low // by for low in net.earliest),
        latest=tuple(high // by for high in net.latest),
        pools=tuple(replace(p, taken=_narrower(p.taken, by)) for p in net.pools),
        away=tuple(_narrower(taken, by) for taken in net.away),
    )


def _scaled(net: Net, by: int) -> Net:
    return replace(
        net,
        ends=tuple((i, at // by) for i, at in net.ends),
        near=tuple((i, at // by) for i, at in net.near),
        close=net.close // by,
    )


def _wider(taken: Sequence[Taken], by: int, capacity: int) -> tuple[Taken, ...]:
    """Taken time on the coarse clock, each coarse tick as full as its fullest part."""
    full: dict[int, int] = {}
    for start, end, amount in taken:
        for tick in range(start // by, -(-end // by)):
            full[tick] = min(capacity, max(amount, full.get(tick, 0)))
    return tuple((tick, tick + 1, amount) for tick, amount in sorted(full.items()))


def _narrower(taken: Sequence[Taken], by: int) -> tuple[Taken, ...]:
    """Taken time on the coarse clock, no more of it than the true one has."""
    pieces = ((-(-start // by), end // by, amount) for start, end, amount in taken)
    return tuple(piece for piece in pieces if piece[0] < piece[1])
