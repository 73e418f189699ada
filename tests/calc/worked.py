"""The published rulebooks and worked totals under tests/data, as records."""

import csv
import re
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path

from teamops.calc.scoring import (
    Aggregate,
    Criterion,
    Direction,
    DropScope,
    MissingSheet,
    Rules,
    Sheet,
)

DATA = Path(__file__).parent.parent / "data"
BBQ_CHAIN = (
    "sum:taste:kept",
    "sum:tenderness:kept",
    "sum:appearance:kept",
    "dropped_total",
    "draw",
)
# What the schemes say in sentences, as records say it.
BBQ = {
    "missing_sheet": MissingSheet.AVERAGE_REMAINING,
    "sheets_least": 4,
    "tie_break": BBQ_CHAIN,
    "penalty_mark": Decimal(1),
}
SPECIAL = {
    "bbq_2004": BBQ,
    "bbq_2013": BBQ,
    "rope_panel": {"aggregate": Aggregate.CLOSEST_PAIR},
    "beer_50": {"aggregate": Aggregate.MEAN, "max_spread": Decimal(7)},
    "wine_100": {"aggregate": Aggregate.MEAN, "reject_outlier": Decimal(7)},
    "rank_sum": {"aggregate": Aggregate.RANK_SUM, "direction": Direction.LOW},
}


@dataclass(frozen=True)
class Worked:
    """One worked total: the table, its rules, and what the source says of it."""

    example: str
    entry: str
    rules: Rules
    sheets: tuple[Sheet, ...]
    total: Decimal
    note: str

    @property
    def sheet_totals(self) -> list[Decimal] | None:
        """The totals of single sheets, where the note gives them."""
        found = re.search(r"sheet totals ([\d. ]+)", self.note)
        return [Decimal(word) for word in found[1].split()] if found else None

    @property
    def dropped(self) -> int | None:
        """Which sheet the note says was dropped, from 1."""
        found = re.search(r"dropped sheet (\d)", self.note)
        return int(found[1]) if found else None


def read(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(newline="") as file:
        return list(csv.DictReader(file))


@cache
def rulebook(rule_id: str, sheets: int, factor: str = "") -> Rules:
    """The published rulebook for a table of so many sheets."""
    rows = [row for row in read("scoring-rules-criteria.csv") if row["rule_id"] == rule_id]
    scheme = next(r for r in read("scoring-rules-schemes.csv") if r["rule_id"] == rule_id)
    drops = {}
    if scheme["drop_scope"] == "sheet":
        drops = {
            "drop_scope": DropScope.SHEET,
            "drop_low": int(scheme["drop_low"]),
            "drop_high": int(scheme["drop_high"]),
        }
    return Rules(
        criteria=tuple(_criterion(row) for row in rows),
        sheets_expected=6 if rule_id.startswith("bbq") else sheets,
        factor=Decimal(factor or 1),
        **drops,
        **SPECIAL.get(rule_id, {}),
    )


def worked() -> list[Worked]:
    """All worked totals, in the file's order."""
    tables: dict[tuple[str, str], dict[str, dict[str, Decimal]]] = {}
    for row in read("scoring-worked-marks.csv"):
        table = tables.setdefault((row["example_id"], row["entry"]), {})
        table.setdefault(row["sheet"], {})[row["criterion"]] = Decimal(row["mark"])
    found = []
    for row in read("scoring-worked-totals.csv"):
        table = tables[row["example_id"], row["entry"]]
        found.append(
            Worked(
                example=row["example_id"],
                entry=row["entry"],
                rules=rulebook(row["rule_id"], len(table), row["factor"]),
                sheets=tuple(Sheet(f"judge {n}", marks) for n, marks in table.items()),
                total=Decimal(row["expected_total"]),
                note=row["note"],
            )
        )
    return found


def example(name: str, entry: str = "A") -> Worked:
    return next(w for w in worked() if (w.example, w.entry) == (name, entry))


def _criterion(row: dict[str, str]) -> Criterion:
    numbers = {
        ours: Decimal(row[theirs]) if row[theirs] else None
        for ours, theirs in (("least", "min"), ("most", "max"), ("step", "step"))
    }
    name = row["criterion"].capitalize()
    return Criterion(key=row["criterion"], name=name, weight=Decimal(row["weight"]), **numbers)
