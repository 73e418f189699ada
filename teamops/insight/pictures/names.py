"""Names that fit beside each other in a picture."""

from collections.abc import Mapping, Sequence

TAIL = 6  # letters kept at the end of a name that is cut


def cut_apart(names: Sequence[str], most: int) -> list[str]:
    """Names that fit, none like another's unless it is the same name.

    A name is cut in its middle, since a double's two contests differ at the end. Names that would
    then look alike show the place where they begin to differ, and failing that, a number.
    """
    cuts = {name: cut(name, most) for name in names}
    for twins in _alike(cuts):
        first = _where_they_differ(twins)
        for name in twins:
            cuts[name] = cut(name, most, tail=name[max(first - 1, 0) :][:TAIL])
    for twins in _alike(cuts):
        for number, name in enumerate(twins, start=1):
            tail = f"… {number}"
            cuts[name] = f"{cuts[name][: most - len(tail)].rstrip()}{tail}"
    return [cuts[name] for name in names]


def _where_they_differ(names: Sequence[str]) -> int:
    """The first place where the names are not all the same."""
    letters = enumerate(zip(*names, strict=False))
    shortest = min(map(len, names))
    return next((place for place, some in letters if len(set(some)) > 1), shortest)


def _alike(cuts: Mapping[str, str]) -> list[list[str]]:
    """Names that are cut to the same, group by group."""
    by_cut: dict[str, list[str]] = {}
    for name, cut in cuts.items():
        by_cut.setdefault(cut, []).append(name)
    return [twins for twins in by_cut.values() if len(twins) > 1]


def cut(words: str, most: int, tail: str = "") -> str:
    """Words that fit, cut in their middle before this tail of theirs, or before their last."""
    if len(words) <= most:
        return words
    tail = tail or words[-TAIL:]
    return f"{words[: most - len(tail) - 1].rstrip()}…{tail.lstrip()}"
