"""Changes that came and went together, always or mostly, so that scores cannot tell them apart."""

from collections.abc import Mapping, Sequence
from itertools import pairwise, permutations
from math import sqrt

MOSTLY = 0.5  # of a correlation, from which one change may pass for another


def confounded(patterns: Mapping[str, Sequence[bool]]) -> dict[str, tuple[str, ...]]:
    """
    For each change that cannot be credited, the others it cannot be told from.

    `patterns` say for each change whether it was on, contest by contest. Two are the same to the
    scores where they were on and off together, and where one came exactly as the other went. A
    change that was on at every contest, or at none, has nothing to be compared with and is not
    listed. Refuses (ValueError) patterns of unequal length.
    """
    if len({len(pattern) for pattern in patterns.values()}) > 1:
        raise ValueError("patterns must all say the same contests")
    groups: dict[tuple[bool, ...], list[str]] = {}
    for key, pattern in patterns.items():
        if any(pattern) and not all(pattern):
            # as against the first contest, so that on-off-off and off-on-on meet
            groups.setdefault(tuple(bool(on) != bool(pattern[0]) for on in pattern), []).append(key)
    return {
        key: tuple(other for other in group if other != key)
        for group in groups.values()
        if len(group) > 1
        for key in group
    }


def companions(patterns: Mapping[str, Sequence[bool]]) -> dict[str, tuple[str, ...]]:
    """
    For each change, the others that mostly went along with it, or mostly came as it went.

    From a correlation of 0.5 between the on and off of both, up to but without the 1 of
    `confounded`: a part of the credit may be theirs. Changes without any are not listed. Refuses
    (ValueError) patterns of unequal length.
    """
    same = confounded(patterns)
    found: dict[str, tuple[str, ...]] = {}
    for key, other in permutations(patterns, 2):
        close = abs(_correlation(patterns[key], patterns[other])) >= MOSTLY
        if close and other not in same.get(key, ()):
            found[key] = (*found.get(key, ()), other)
    return found


def switched_once(pattern: Sequence[bool]) -> bool:
    """
    Whether a change came, or went, once and for all; `pattern` says its on and off in time's order.

    Then everything else that differs between earlier and later goes along with it.
    """
    turns = sum(bool(one) != bool(next_) for one, next_ in pairwise(pattern))
    return turns == 1


def _correlation(one: Sequence[bool], other: Sequence[bool]) -> float:
    """Of two patterns of on and off (phi); 0 where one of them never changes."""
    n, a, b = len(one), sum(map(bool, one)), sum(map(bool, other))
    both = sum(bool(x and y) for x, y in zip(one, other, strict=True))
    spread = sqrt(a * (n - a) * b * (n - b))
    return (n * both - a * b) / spread if spread else 0.0
