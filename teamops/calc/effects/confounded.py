"""Changes that always came and went together, so that no score can tell them apart."""

from collections.abc import Mapping, Sequence


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
