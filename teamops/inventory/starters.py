"""Starter items: what a steak contest takes, read from `fixtures/starter-items.json`."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache
from typing import Any

from django.conf import settings

from teamops.calc.demand import Condition, DemandRule
from teamops.calc.units import pounds_to_kg
from teamops.teams.models import Team

# Kitchen units of the metric team: the name, and how much of it one US unit is. The pound and the
# yard are exact by the agreement of 1959, the gallon is 231 cubic inches.
METRIC = {
    "lb": ("kg", Decimal("0.45359237")),
    "oz": ("g", Decimal("28.349523125")),
    "gal": ("L", Decimal("3.785411784")),
    "fl oz": ("mL", Decimal("29.5735295625")),
    "yard": ("m", Decimal("0.9144")),
}


@dataclass(frozen=True, slots=True)
class StarterItem:
    """One line of the starters, in the team's kitchen units; `mass_kg` is for one unit."""

    name: str
    group: str
    unit: str
    rule: DemandRule
    quantity: Decimal
    mass_kg: Decimal
    container: str
    consumable: bool
    condition: Condition
    note: str


@dataclass(frozen=True, slots=True)
class Starters:
    """A kit with its items, and the containers they ride in: (name, kind, lifted in one piece)."""

    kit: str
    containers: tuple[tuple[str, str, bool], ...]
    items: tuple[StarterItem, ...]


@lru_cache(maxsize=2)
def read_starters(units: str) -> Starters:
    """The starters in pounds and gallons, or in kilograms and litres to two figures."""
    record = json.loads((settings.FIXTURES / "starter-items.json").read_text())
    return Starters(
        kit=record["kit"],
        containers=tuple((row["name"], row["kind"], row["whole"]) for row in record["containers"]),
        items=tuple(_item(row, metric=units == Team.Units.SI) for row in record["items"]),
    )


def _item(row: Mapping[str, Any], *, metric: bool) -> StarterItem:
    unit, quantity = row["unit"], Decimal(row["quantity"])
    pounds = Decimal(row["pounds"])
    if metric and unit in METRIC:
        unit, size = METRIC[unit]
        quantity, pounds = _two_figures(quantity * size), pounds / size
    return StarterItem(
        name=row["name"],
        group=row["group"],
        unit=unit,
        rule=DemandRule(row["rule"]),
        quantity=quantity,
        mass_kg=pounds_to_kg(pounds),
        container=row["container"],
        consumable=row.get("consumable", False),
        condition=Condition(row.get("condition", Condition.ALWAYS)),
        note=row.get("note", ""),
    )


def _two_figures(value: Decimal) -> Decimal:
    """A kitchen amount as one would say it: 7.3 kg, 120 mL."""
    step = Decimal(1).scaleb(value.adjusted() - 1)
    return Decimal(f"{(value / step).quantize(Decimal(1), ROUND_HALF_UP) * step:f}")
