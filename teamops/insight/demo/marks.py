"""Judges' marks that a story asks for: like real ones from sheet to sheet, exact in their sums."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from random import Random

HALF = Decimal("0.5")
Table = list[dict[str, Decimal]]  # a dict of marks for each judge


def invent(
    judges: int, means: Mapping[str, float], rng: Random, *, least: int, most: int, step: Decimal
) -> Table:
    """One table's marks about these means: a good or bad day, kind and hard judges, and chance."""
    day = rng.gauss(0, 0.25)
    table = []
    for _ in range(judges):
        judge = rng.gauss(0, 0.35)
        table.append(
            {
                key: _on_scale(mean + day + judge + rng.gauss(0, 0.55), least, most, step)
                for key, mean in means.items()
            }
        )
    return table


def _on_scale(value: float, least: int, most: int, step: Decimal) -> Decimal:
    steps = round(Decimal(value) / step)
    return min(max(steps * step, Decimal(least)), Decimal(most))


def settle_means(tables: Sequence[Table], means: Mapping[str, Decimal], rng: Random) -> None:
    """Move marks by halves until each criterion's mean is as near as halves allow."""
    for key, mean in means.items():
        cells = [sheet for table in tables for sheet in table]
        goal = round(mean * len(cells) / HALF) * HALF
        while gap := goal - sum(sheet[key] for sheet in cells):
            move = HALF if gap > 0 else -HALF
            sheet = rng.choice(cells)
            if 1 <= sheet[key] + move <= 10:
                sheet[key] += move


def settle_total(table: Table, others: Sequence[Table], total: Decimal, rng: Random) -> None:
    """Bring one table to a total by trading halves with the others: no criterion's mean moves."""
    while gap := total - sum(sum(sheet.values()) for sheet in table):
        move = HALF if gap > 0 else -HALF
        here, there = rng.choice(table), rng.choice(rng.choice(others))
        key = rng.choice(sorted(here))
        if 1 <= here[key] + move <= 10 and 1 <= there[key] - move <= 10:
            here[key] += move
            there[key] -= move
