"""The published rulebooks under tests/data as they would be stored, and their sources."""

from decimal import Decimal

from teamops.rules.actions import add_rulebook
from teamops.rules.models import Criterion, Rulebook
from tests.calc.worked import BBQ_CHAIN, read
from tests.factories.teams import MembershipFactory

# What the schemes say in sentences, as a stored rulebook says it.
BBQ = {
    "sheets_least": 4,
    "missing_sheet": "average_remaining",
    "tie_break": list(BBQ_CHAIN),
    "penalty_mark": Decimal(1),
}
SPECIAL = {
    "bbq_2004": BBQ,
    "bbq_2013": BBQ,
    "dive_7": {"tie_break": ["shared"]},
    "rope_panel": {"aggregate": "closest_pair"},
    "beer_50": {"aggregate": "mean", "max_spread": Decimal(7)},
    "wine_100": {"aggregate": "mean", "outlier_distance": Decimal(7)},
    "rank_sum": {"aggregate": "rank_sum", "direction": "low"},
    "bbq_network": {
        "panels": [
            {"name": "blind", "expected": 4, "least": 1},
            {"name": "on site", "expected": 3, "least": 1},
        ]
    },
}
SCHEMES = {row["rule_id"]: row for row in read("scoring-rules-schemes.csv")}


def stored(rule_id: str, sheets: int = 5, factor: str = "") -> Rulebook:
    """The published rulebook, kept as a team's own, for a table of so many sheets."""
    scheme, member = SCHEMES[rule_id], MembershipFactory()
    rulebook = Rulebook(
        name=rule_id,
        source=scheme["source"],
        sheets_expected=6 if rule_id.startswith("bbq_2") else sheets,
        factor=Decimal(factor or 1),
        drop_scope="sheet" if scheme["drop_scope"] == "sheet" else "none",
        drop_low=int(scheme["drop_low"] or 0),
        drop_high=int(scheme["drop_high"] or 0),
        **SPECIAL.get(rule_id, {}),
    )
    return add_rulebook(
        rulebook=rulebook, criteria=_criteria(rule_id), team=member.team, by=member.user
    )


def _criteria(rule_id: str) -> list[Criterion]:
    rows = [row for row in read("scoring-rules-criteria.csv") if row["rule_id"] == rule_id]
    if rule_id != "bbq_network":
        return [_criterion(row) for row in rows]
    return [_criterion(row, panel) for panel in ("blind", "on site") for row in rows]


def _criterion(row: dict[str, str], panel: str = "") -> Criterion:
    numbers = {
        ours: Decimal(row[theirs]) if row[theirs] else None
        for ours, theirs in (("least", "min"), ("most", "max"), ("step", "step"))
    }
    key = row["criterion"] + ("-on-site" if panel == "on site" else "")
    weight = Decimal(row["weight"] or 1)  # of one rulebook the weights were not seen
    name = row["criterion"].replace("_", " ").capitalize()
    return Criterion(key=key, name=name, weight=weight, panel=panel, **numbers)
