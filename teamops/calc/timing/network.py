"""Critical path and PERT: how long a recipe takes with nobody in the way, by the textbook."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from teamops.calc.timing.records import Spread
from teamops.calc.timing.sense import waiting_ring
from teamops.calc.words import list_words

SAME = 1e-9  # of the length: what float sums may be off


@dataclass(frozen=True, slots=True)
class Float:
    """When a step can start and end, at the earliest and at the latest."""

    early_start: float
    early_end: float
    late_start: float
    late_end: float

    @property
    def slack(self) -> float:
        """How late it may start without making the whole later."""
        return self.late_start - self.early_start


@dataclass(frozen=True, slots=True)
class CriticalPath:
    """The whole length, each step's float, and the steps without slack in order of start."""

    length: float
    steps: Mapping[str, Float]
    critical: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Pert:
    """The path by usual times, the length's mean and its variance along the critical path. [min]"""

    path: CriticalPath
    mean: float
    variance: float

    def chance_within(self, minutes: float) -> float:
        """
        The chance of being done by then, by the normal curve along the critical path.

        It is too hopeful: other paths can become the longest, and bad days pull further than good
        ones push. `slack.chances` samples instead.
        """
        if self.variance <= 0:
            return 1.0 if minutes >= self.mean else 0.0
        return 0.5 * math.erfc((self.mean - minutes) / math.sqrt(2 * self.variance))


def critical_path(
    lengths: Mapping[str, float], before: Mapping[str, Sequence[str]]
) -> CriticalPath:
    """
    Earliest and latest times of steps that wait for others, the whole as short as can be.

    Parameters
    ----------
    lengths : mapping
        How long each step takes, by key. [any one unit]
    before : mapping
        The keys each step waits for; steps left out wait for none.

    Refuses (ValueError) no steps, a length below 0, an unknown key, and steps that wait for each
    other.

    References
    ----------
    .. [1] B. W. Taylor, "Introduction to Management Science," chapter 8 (project networks).
    """
    _refuse_network(lengths, before)
    early: dict[str, float] = {}
    for key in (order := _in_order(lengths, before)):
        early[key] = max((early[b] + lengths[b] for b in before.get(key, ())), default=0.0)
    whole = max(early[key] + lengths[key] for key in lengths)
    late: dict[str, float] = dict.fromkeys(lengths, whole)  # latest ends
    for key in reversed(order):
        for b in before.get(key, ()):
            late[b] = min(late[b], late[key] - lengths[key])
    steps = {
        key: Float(early[key], early[key] + length, late[key] - length, late[key])
        for key, length in lengths.items()
    }
    tight = [key for key in order if steps[key].slack <= SAME * max(whole, 1.0)]
    return CriticalPath(whole, steps, tuple(sorted(tight, key=lambda key: early[key])))


def pert(spreads: Mapping[str, Spread], before: Mapping[str, Sequence[str]]) -> Pert:
    """
    The classic three-point reckoning: means (a + 4m + b)/6, variances ((b - a)/6)². [min]

    Where several paths are critical the variance is that of the most uncertain of them. Refuses
    (ValueError) what `critical_path` refuses.

    References
    ----------
    .. [1] D. G. Malcolm, J. H. Roseboom, C. E. Clark and W. Fazar, "Application of a technique for
       research and development program evaluation," Oper. Res., vol. 7, pp. 646-669, 1959.
    """
    path = critical_path({key: pert_mean(spread) for key, spread in spreads.items()}, before)
    far: dict[str, float] = {}
    for key in path.critical:
        tight = [
            far[b]
            for b in before.get(key, ())
            if b in far and math.isclose(path.steps[b].early_end, path.steps[key].early_start)
        ]
        far[key] = max(tight, default=0.0) + pert_variance(spreads[key])
    last = [k for k in far if path.steps[k].early_end >= path.length * (1 - SAME)]
    return Pert(path, path.length, max(far[key] for key in last))


def pert_mean(spread: Spread) -> float:
    """(a + 4m + b)/6. [min]"""
    return (spread.low + 4 * spread.likely + spread.high) / 6


def pert_variance(spread: Spread) -> float:
    """((b - a)/6)². [min²]"""
    return ((spread.high - spread.low) / 6) ** 2


def _refuse_network(lengths: Mapping[str, float], before: Mapping[str, Sequence[str]]) -> None:
    if not lengths:
        raise ValueError("there are no steps")
    for key, length in lengths.items():
        if not (math.isfinite(length) and length >= 0):
            raise ValueError(f"{key} takes {length}: a length is 0 or more")
    pairs = [(b, key) for key, earlier in before.items() for b in earlier]
    strangers = {key for pair in pairs for key in pair} - lengths.keys()
    if strangers:
        raise ValueError(f"there is no step {min(strangers)}")
    ring = waiting_ring(lengths, pairs)
    if ring:
        raise ValueError(f"{list_words(ring)} wait for each other")


def _in_order(lengths: Mapping[str, float], before: Mapping[str, Sequence[str]]) -> list[str]:
    """Every step after those it waits for."""
    order: dict[str, None] = {}

    def add(key: str) -> None:
        if key not in order:
            for b in before.get(key, ()):
                add(b)
            order[key] = None

    for key in lengths:
        add(key)
    return list(order)
