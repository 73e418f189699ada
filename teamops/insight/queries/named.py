"""Which criterion of a rulebook is doneness, which appearance: guessed by what it is called."""

from collections.abc import Iterable

from teamops.rules.models import Criterion

DONENESS = ("doneness", "done", "cooked")
APPEARANCE = ("appearance", "appear", "presentation", "look")


def doneness_of(criteria: Iterable[Criterion]) -> Criterion | None:
    """The criterion that is called doneness, or nearly so; None where none is."""
    return _called(DONENESS, list(criteria))


def appearance_of(criteria: Iterable[Criterion]) -> Criterion | None:
    """The criterion that is called appearance, or nearly so; None where none is."""
    return _called(APPEARANCE, list(criteria))


def _called(words: Iterable[str], criteria: list[Criterion]) -> Criterion | None:
    """The first criterion with the surest of these words in its name or key."""
    for word in words:
        for criterion in criteria:
            if word in f"{criterion.name} {criterion.key}".casefold():
                return criterion
    return None
