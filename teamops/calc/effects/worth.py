"""A change's best guess in points of the total, as placing wants it."""

from collections.abc import Sequence

from teamops.calc.effects.records import ChangeEffect
from teamops.calc.scoring import Criterion


def guessed_gain(found: ChangeEffect, criteria: Sequence[Criterion], sheets: int) -> float | None:
    """
    What the change is likely to add to a total: every criterion's best guess by its weight.

    `sheets` is how many are added up at a full table, 1 where they are averaged; times the
    rulebook's factor, if it has one. None where there is no comparison. Leaves out that another
    sheet might be dropped. Refuses (KeyError) criteria that the comparison did not have. [points]
    """
    guesses = [found.line(criterion.key).guess for criterion in criteria]
    known = [guess for guess in guesses if guess is not None]
    if len(known) < len(guesses):
        return None
    weights = [float(criterion.weight) for criterion in criteria]
    return sheets * sum(w * guess for w, guess in zip(weights, known, strict=True))
