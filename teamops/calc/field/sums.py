"""Lines whose columns do not add up to their total, where those of the others do."""

from collections.abc import Sequence
from decimal import Decimal

from teamops.calc.field.records import Entrant
from teamops.calc.scoring import Rules, exact_sum, plain

MOSTLY = Decimal("0.6")  # of the lines must add up, before one that does not is odd


def unlike_the_sum(entrants: Sequence[Entrant], rules: Rules | None) -> dict[int, tuple[str, ...]]:
    """
    Sentences about lines that do not add up, by their index; plainly added or by the weights.

    Only where most lines do: else the columns are not what the total is made of.
    """
    weights = {one.key: one.weight for one in rules.criteria} if rules else {}
    plainly = {
        index: exact_sum(one.parts)
        for index, one in enumerate(entrants)
        if one.total is not None and len(one.parts) > 1
    }
    weighted = {
        index: exact_sum(value * weights[key] for key, value in one.sums.items())
        for index, one in enumerate(entrants)
        if one.total is not None and weights and one.sums.keys() == weights.keys()
    }
    for sums in (plainly, weighted):
        right = sum(entrants[index].total == added for index, added in sums.items())
        if right > 1 and right >= MOSTLY * len(sums):
            return {
                index: (_words(added, entrants[index].total),)
                for index, added in sums.items()
                if entrants[index].total != added
            }
    return {}


def _words(added: Decimal, total: Decimal | None) -> str:
    return f"Its columns add up to {plain(added)}, posted {plain(total or Decimal(0))}."
