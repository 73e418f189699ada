"""How much of an item a trip needs: the rule that multiplies it, the condition it waits for."""

from collections.abc import Collection
from dataclasses import dataclass
from decimal import ROUND_CEILING, Context, Decimal, localcontext
from enum import StrEnum

from teamops.calc.words import plain

# A unit listed here is poured, weighed or cut to any amount; every other one is counted, and a
# part of one is a whole one to pack.
MEASURED_UNITS = frozenset(
    {"lb", "oz", "fl oz", "gal", "qt", "pt", "cup", "yard", "ft", "in"}
    | {"kg", "g", "L", "l", "mL", "ml", "m", "cm"}
)
WIDE = Context(prec=40)


class DemandRule(StrEnum):
    """What an item's quantity is meant for one of."""

    FIXED = "fixed"
    PER_ENTRY = "per_entry"
    PER_STEAK = "per_steak"
    PER_COOK = "per_cook"
    PER_PERSON = "per_person"
    PER_DAY = "per_day"
    PER_PERSON_DAY = "per_person_day"
    PER_ENTRY_DAY = "per_entry_day"
    PER_JUDGE_BITE = "per_judge_bite"
    PER_COOK_HOUR = "per_cook_hour"
    PER_GRILL = "per_grill"
    PER_COOLER = "per_cooler"
    PER_CANOPY = "per_canopy"
    PER_VEHICLE = "per_vehicle"
    PER_TRAILER = "per_trailer"

    @property
    def label(self) -> str:
        """How a form shows it."""
        return RULE_LABELS[self]


class Condition(StrEnum):
    """What must be so for a line to be packed at all."""

    ALWAYS = "always"
    CHARCOAL = "charcoal"
    PELLET = "pellet"
    GAS = "gas"
    OWN_MEAT = "own_meat"
    OWN_BOXES = "own_boxes"
    ANCILLARY = "ancillary"
    HOT = "hot"
    COLD = "cold"
    RAIN = "rain"
    WIND = "wind"
    OVERNIGHT = "overnight"
    NO_POWER_ON_SITE = "no_power_on_site"
    NO_WATER_ON_SITE = "no_water_on_site"
    NO_ICE_ON_SITE = "no_ice_on_site"
    TRAILER = "trailer"

    @property
    def label(self) -> str:
        """How a form shows it."""
        return CONDITION_LABELS[self]


RULE_LABELS = {
    DemandRule.FIXED: "for the trip",
    DemandRule.PER_ENTRY: "for each entry",
    DemandRule.PER_STEAK: "for each steak",
    DemandRule.PER_COOK: "for each cook",
    DemandRule.PER_PERSON: "for each person",
    DemandRule.PER_DAY: "for each day",
    DemandRule.PER_PERSON_DAY: "for each person and day",
    DemandRule.PER_ENTRY_DAY: "for each entry and day",
    DemandRule.PER_JUDGE_BITE: "for each judge's bite",
    DemandRule.PER_COOK_HOUR: "for each hour of cooking",
    DemandRule.PER_GRILL: "for each grill",
    DemandRule.PER_COOLER: "for each cold box",
    DemandRule.PER_CANOPY: "for each canopy",
    DemandRule.PER_VEHICLE: "for each vehicle",
    DemandRule.PER_TRAILER: "for each trailer",
}

CONDITION_LABELS = {
    Condition.ALWAYS: "always",
    Condition.CHARCOAL: "cooking on charcoal",
    Condition.PELLET: "cooking on pellets",
    Condition.GAS: "cooking on gas",
    Condition.OWN_MEAT: "meat not issued: bring our own",
    Condition.OWN_BOXES: "turn-in boxes not issued: bring our own",
    Condition.ANCILLARY: "an ancillary category entered",
    Condition.HOT: "hot weather",
    Condition.COLD: "cold weather",
    Condition.RAIN: "rain expected",
    Condition.WIND: "wind expected",
    Condition.OVERNIGHT: "staying overnight",
    Condition.NO_POWER_ON_SITE: "no power on site",
    Condition.NO_WATER_ON_SITE: "no water on site",
    Condition.NO_ICE_ON_SITE: "no ice sold on site",
    Condition.TRAILER: "towing a trailer",
}


@dataclass(frozen=True, slots=True)
class TripNumbers:
    """What a trip has: counts, and the hours that a fire burns; none below 0.

    `entries` are boxes of every kind; `steaks` those of them that are not of an ancillary category.
    `people` includes the cooks. `judge_bites` are the portions of ancillary protein to be served.
    """

    entries: int = 0
    steaks: int = 0
    cooks: int = 0
    people: int = 0
    days: int = 0
    judge_bites: int = 0
    cook_hours: Decimal = Decimal(0)
    grills: int = 0
    coolers: int = 0
    canopies: int = 0
    vehicles: int = 0
    trailers: int = 0

    def __post_init__(self) -> None:
        """Refuse counts below 0 (ValueError), and hours as a float (TypeError)."""
        if not isinstance(self.cook_hours, Decimal):
            raise TypeError(f"cook_hours must be a Decimal, got {self.cook_hours!r}")
        for name in self.__slots__:
            if not getattr(self, name) >= 0:
                raise ValueError(f"{name} must be 0 or more, got {getattr(self, name)}")


@dataclass(frozen=True, slots=True)
class Amount:
    """How much to bring, in the item's own unit, and one line that shows the working."""

    value: Decimal
    working: str


# What each rule multiplies by: the trip's number, with one of it and several of it in words.
FACTORS: dict[DemandRule, tuple[tuple[str, str, str], ...]] = {
    DemandRule.FIXED: (),
    DemandRule.PER_ENTRY: (("entries", "entry", "entries"),),
    DemandRule.PER_STEAK: (("steaks", "steak", "steaks"),),
    DemandRule.PER_COOK: (("cooks", "cook", "cooks"),),
    DemandRule.PER_PERSON: (("people", "person", "people"),),
    DemandRule.PER_DAY: (("days", "day", "days"),),
    DemandRule.PER_PERSON_DAY: (("people", "person", "people"), ("days", "day", "days")),
    DemandRule.PER_ENTRY_DAY: (("entries", "entry", "entries"), ("days", "day", "days")),
    DemandRule.PER_JUDGE_BITE: (("judge_bites", "judge's bite", "judge's bites"),),
    DemandRule.PER_COOK_HOUR: (("cook_hours", "cooking hour", "cooking hours"),),
    DemandRule.PER_GRILL: (("grills", "grill", "grills"),),
    DemandRule.PER_COOLER: (("coolers", "cold box", "cold boxes"),),
    DemandRule.PER_CANOPY: (("canopies", "canopy", "canopies"),),
    DemandRule.PER_VEHICLE: (("vehicles", "vehicle", "vehicles"),),
    DemandRule.PER_TRAILER: (("trailers", "trailer", "trailers"),),
}


def amount(rule: DemandRule, quantity: Decimal, unit: str, numbers: TripNumbers) -> Amount:
    """How much of an item this trip needs, with its working: "2 a cook x 2 cooks = 4".

    `quantity` is for one of what the rule names, in `unit`. Counted units are rounded up and the
    working says so; measured ones (`MEASURED_UNITS`) are left as they are. Refuses (ValueError) a
    quantity below 0. A line that comes to 0 is the caller's to leave out.
    """
    if not quantity >= 0:
        raise ValueError(f"quantity must be 0 or more, got {quantity}")
    with localcontext(WIDE):
        value = quantity
        for name, _, _ in FACTORS[rule]:
            value *= Decimal(getattr(numbers, name))
        packed = value if unit in MEASURED_UNITS else value.to_integral_value(ROUND_CEILING)
        return Amount(packed, _working(rule, quantity, unit, numbers, value, packed))


def applies(condition: Condition, on: Collection[Condition]) -> bool:
    """Whether a line of this condition is packed when these conditions are on."""
    return condition is Condition.ALWAYS or condition in on


def _working(
    rule: DemandRule,
    quantity: Decimal,
    unit: str,
    numbers: TripNumbers,
    value: Decimal,
    packed: Decimal,
) -> str:
    measure = f" {unit}" if unit in MEASURED_UNITS else ""
    rounded = f", rounded up to {plain(packed)}" if packed != value else ""
    factors = FACTORS[rule]
    if not factors:
        return f"{plain(quantity)}{measure} for the trip{rounded}"
    per = " and ".join(
        f"{_article(one)} {one}" if i == 0 else one for i, (_, one, _) in enumerate(factors)
    )
    times = " x ".join(_counted(getattr(numbers, name), one, many) for name, one, many in factors)
    return f"{plain(quantity)}{measure} {per} x {times} = {plain(value)}{measure}{rounded}"


def _counted(count: int | Decimal, one: str, many: str) -> str:
    return f"{plain(Decimal(count))} {one if count == 1 else many}"


def _article(noun: str) -> str:
    return "an" if noun[0] in "aeiou" else "a"
