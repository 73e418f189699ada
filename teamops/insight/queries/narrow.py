"""What a ledger may be narrowed to: who cooked, where, and in what weather."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, NamedTuple

from django.db.models import Q

from teamops.calc.units import show_temperature

GUESTS = "guests"
COLD_BELOW_C, HOT_FROM_C = Decimal(10), Decimal(25)  # 50 and 77 °F

RAIN = {"yes": "in the rain", "no": "dry"}
WIND = {"yes": "in strong wind", "no": "without strong wind"}
AIR = {"cold": "cold air", "mild": "mild air", "hot": "hot air"}
NOT_NOTED = "not noted"


class Held(NamedTuple):
    """When and where a contest was held, and its weather; what is not known is empty.

    `place` is folded, so that two spellings of one place are one; `spelled` is as it was typed.
    """

    day: date
    place: str = ""
    spelled: str = ""
    rain: str = ""
    wind: str = ""
    air: str = ""


def held(day: date, place: str, rain: str, wind: str, air_c: Decimal | None) -> Held:
    """A contest's row as narrowing reads it; the air's temperature in °C."""
    air = ""
    if air_c is not None:
        air = "cold" if air_c < COLD_BELOW_C else "hot" if air_c >= HOT_FROM_C else "mild"
    return Held(day, " ".join(place.split()).casefold(), place, rain, wind, air)


def cook_key(cook_id: int | None, guest: str) -> str:
    """Who cooked a box: the id of the cook of record as text, `GUESTS`, or nobody noted."""
    return GUESTS if guest else str(cook_id or "")


def air_words(units: str) -> dict[str, str]:
    """Cold, mild and hot with their bounds in the team's units."""
    low, high = (show_temperature(bound, units) for bound in (COLD_BELOW_C, HOT_FROM_C))
    return {
        "cold": f"cold, below {low}",
        "mild": f"mild, {low} to below {high}",
        "hot": f"hot, {high} or more",
    }


@dataclass(frozen=True, slots=True)
class Narrow:
    """Which of the contests and boxes to read; what is empty leaves all of them.

    `cook` is as `cook_key` has it and `place` as `Held` folds it; `spellings` are all those of the
    place. `cook_name` and the first spelling are for reading.
    """

    cook: str = ""
    place: str = ""
    rain: str = ""
    wind: str = ""
    air: str = ""
    cook_name: str = ""
    spellings: tuple[str, ...] = ()

    @property
    def pairs(self) -> list[tuple[str, str]]:
        """As an address carries it."""
        named = [(name, getattr(self, name)) for name in FIELDS]
        return [pair for pair in named if pair[1]]

    @property
    def words(self) -> str:
        """Said after a category and a season, with a comma before it; empty if it leaves all."""
        said = [
            f"cooked by {'guests' if self.cook == GUESTS else self.cook_name}" if self.cook else "",
            f"at {self.spellings[0]}" if self.spellings else "",
            RAIN.get(self.rain, ""),
            WIND.get(self.wind, ""),
            AIR.get(self.air, ""),
        ]
        return "".join(f", {part}" for part in said if part)

    def holds(self, at: Held, cook: str) -> bool:
        """Whether a box that this cook cooked there is one of them."""
        asked = ((self.cook, cook), *((getattr(self, name), getattr(at, name)) for name in SITE))
        return all(want in ("", has) for want, has in asked)

    def chosen(self, path: str) -> Q:
        """The same as a condition on rows that reach their entry by this path."""
        sought: dict[str, Any] = {}
        if self.cook and self.cook != GUESTS:
            sought |= {f"{path}cook_of_record": int(self.cook), f"{path}guest_cook": ""}
        if self.place:
            sought[f"{path}contest__place__in"] = self.spellings
        for name in ("rain", "wind"):
            if getattr(self, name):
                sought[f"{path}contest__{name}"] = getattr(self, name)
        condition = Q(**sought, **_air(self.air, f"{path}contest__air_c"))
        return condition & ~Q(**{f"{path}guest_cook": ""}) if self.cook == GUESTS else condition


SITE = ("place", "rain", "wind", "air")
FIELDS = ("cook", *SITE)
ALL = Narrow()


def _air(air: str, column: str) -> Mapping[str, Decimal]:
    bounds = {
        "cold": {f"{column}__lt": COLD_BELOW_C},
        "mild": {f"{column}__gte": COLD_BELOW_C, f"{column}__lt": HOT_FROM_C},
        "hot": {f"{column}__gte": HOT_FROM_C},
    }
    return bounds.get(air, {})
