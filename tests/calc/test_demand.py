"""How much a trip needs: the demo list's totals, each rule, and the words of the working."""

from decimal import Decimal

import pytest

from teamops.calc.demand import (
    CONDITION_LABELS,
    FACTORS,
    RULE_LABELS,
    Condition,
    DemandRule,
    TripNumbers,
    amount,
    applies,
)
from tests.calc.worked import read

WEEKEND = TripNumbers(
    entries=3,
    steaks=2,
    cooks=2,
    people=3,
    days=2,
    judge_bites=6,
    cook_hours=Decimal(4),
    grills=1,
    coolers=2,
    canopies=1,
    vehicles=1,
)
SMALL = TripNumbers(
    entries=1,
    cooks=1,
    people=1,
    days=1,
    cook_hours=Decimal(2),
    grills=1,
    coolers=2,
    canopies=1,
    vehicles=1,
)
TOWED = TripNumbers(
    entries=3,
    cooks=2,
    people=3,
    days=2,
    judge_bites=6,
    cook_hours=Decimal(4),
    grills=1,
    coolers=2,
    canopies=1,
    vehicles=1,
    trailers=1,
)
USUAL = {Condition.CHARCOAL, Condition.ANCILLARY, Condition.OVERNIGHT, Condition.NO_POWER_ON_SITE}
WET = USUAL | {Condition.NO_WATER_ON_SITE, Condition.TRAILER, Condition.RAIN}


@pytest.mark.outside("computed: demo list of 103 invented items, added up by a second program")
@pytest.mark.parametrize(
    ("numbers", "conditions", "lines", "pounds"),
    [
        (WEEKEND, USUAL, 85, "887.33"),
        (SMALL, {Condition.CHARCOAL}, 76, "556.43"),
        (TOWED, WET, 93, "1245.03"),
    ],
)
def test_demo_list(numbers, conditions, lines, pounds):
    needed = []
    for row in read("demo-items.csv"):
        if not applies(Condition(row["condition"]), conditions):
            continue
        rule, quantity = DemandRule(row["demand_rule"]), Decimal(row["quantity"])
        found = amount(rule, quantity, row["unit"], numbers)
        if found.value:
            needed.append(found.value * Decimal(row["weight_lb"]))
    assert len(needed) == lines
    assert round(sum(needed), 2) == Decimal(pounds)


@pytest.mark.parametrize(
    ("rule", "quantity", "unit", "value", "working"),
    [
        ("fixed", "2", "set", "2", "2 for the trip"),
        ("fixed", "0.5", "roll", "1", "0.5 for the trip, rounded up to 1"),
        ("per_cook", "2", "each", "4", "2 a cook x 2 cooks = 4"),
        ("per_entry", "0.25", "lb", "0.75", "0.25 lb an entry x 3 entries = 0.75 lb"),
        ("per_entry", "0.25", "each", "1", "0.25 an entry x 3 entries = 0.75, rounded up to 1"),
        ("per_steak", "0.25", "lb", "0.5", "0.25 lb a steak x 2 steaks = 0.5 lb"),
        ("per_person", "1", "each", "3", "1 a person x 3 people = 3"),
        ("per_day", "16", "lb", "32", "16 lb a day x 2 days = 32 lb"),
        ("per_person_day", "3", "meal", "18", "3 a person and day x 3 people x 2 days = 18"),
        ("per_entry_day", "6", "pair", "36", "6 an entry and day x 3 entries x 2 days = 36"),
        (
            "per_judge_bite",
            "0.08",
            "lb",
            "0.48",
            "0.08 lb a judge's bite x 6 judge's bites = 0.48 lb",
        ),
        ("per_cook_hour", "2.5", "lb", "10", "2.5 lb a cooking hour x 4 cooking hours = 10 lb"),
        ("per_grill", "2", "each", "2", "2 a grill x 1 grill = 2"),
        ("per_cooler", "1", "each", "2", "1 a cold box x 2 cold boxes = 2"),
        ("per_canopy", "160", "lb", "160", "160 lb a canopy x 1 canopy = 160 lb"),
        ("per_vehicle", "6", "each", "6", "6 a vehicle x 1 vehicle = 6"),
        ("per_trailer", "1", "pair", "0", "1 a trailer x 0 trailers = 0"),
    ],
)
def test_each_rule_and_its_working(rule, quantity, unit, value, working):
    found = amount(DemandRule(rule), Decimal(quantity), unit, WEEKEND)
    assert (found.value, found.working) == (Decimal(value), working)


def test_part_hours_are_exact():
    numbers = TripNumbers(cook_hours=Decimal("1.1"))
    assert amount(DemandRule.PER_COOK_HOUR, Decimal("0.1"), "lb", numbers).value == Decimal("0.11")
    cubes = amount(DemandRule.PER_COOK_HOUR, Decimal(3), "each", numbers)
    assert cubes.value == 4
    assert cubes.working.endswith("= 3.3, rounded up to 4")


def test_a_line_waits_for_its_condition():
    assert applies(Condition.ALWAYS, ())
    assert applies(Condition.RAIN, {Condition.RAIN})
    assert not applies(Condition.RAIN, {Condition.WIND})


def test_every_rule_and_condition_has_words():
    assert set(RULE_LABELS) == set(FACTORS) == set(DemandRule)
    assert set(CONDITION_LABELS) == set(Condition)
    assert DemandRule.PER_COOLER.label == "for each cold box"
    assert Condition.OWN_MEAT.label == "meat not issued: bring our own"


def test_the_demo_list_uses_no_unit_by_accident():
    """A misspelt measure would be counted and rounded up."""
    units = {row["unit"] for row in read("demo-items.csv")}
    counted = {"each", "pair", "set", "roll", "sheet", "meal", "bottle", "strip", "copy"}
    assert units <= counted | {"lb", "oz", "fl oz", "gal", "yard"}


def test_less_than_nothing_is_refused():
    with pytest.raises(ValueError, match="quantity"):
        amount(DemandRule.FIXED, Decimal(-1), "each", WEEKEND)
    with pytest.raises(ValueError, match="days"):
        TripNumbers(days=-1)
    with pytest.raises(TypeError, match="cook_hours"):
        TripNumbers(cook_hours=2.5)
