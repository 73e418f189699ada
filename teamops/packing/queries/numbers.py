"""What a trip's contests say of the numbers that a packing list needs."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from teamops.calc.demand import Condition
from teamops.contests.models import Contest, Trip
from teamops.packing.models import PackingList
from teamops.teams.models import Membership
from teamops.teams.roles import Role

# Chosen by hand and remembered from the list before; what the contests tell is not among them.
REMEMBERED = ("cook_hours", "grills", "coolers", "canopies", "vehicles", "trailers")
FIRST_LIST = {"grills": 1, "coolers": 2, "canopies": 1, "vehicles": 1, "trailers": 0}
HOURS_A_CONTEST = Decimal(2)

# Which site answer turns which condition on, and how an open answer is said.
SITE = (
    ("site_power", Condition.NO_POWER_ON_SITE, "power on site"),
    ("site_water", Condition.NO_WATER_ON_SITE, "water on site"),
    ("meat_issued", Condition.OWN_MEAT, "whether steaks are issued"),
    ("boxes_issued", Condition.OWN_BOXES, "whether turn-in boxes are issued"),
)
TOLD = frozenset({Condition.ANCILLARY, *(condition for _, condition, _ in SITE)})


@dataclass(frozen=True, slots=True)
class Guess:
    """Numbers to start a list's form with, and what is not known yet, in sentences."""

    initial: dict[str, Any]
    unknown: tuple[str, ...]


def guess_numbers(trip: Trip) -> Guess:
    """Numbers and conditions as the trip's contests, team and last list tell; six queries."""
    contests = list(
        trip.contests.exclude(state__in=Contest.OFF).prefetch_related(
            "entries__category", "entries__rulebook"
        )
    )
    told = _from_contests(trip, contests) | _from_people(trip)
    last = PackingList.objects.for_team(trip.team_id).exclude(trip=trip).first()
    hand = {name: getattr(last, name) for name in REMEMBERED} if last else FIRST_LIST
    if not last:
        told["cook_hours"] = HOURS_A_CONTEST * max(len(contests), 1)
    conditions = set(told["conditions"]) | _chosen_before(last)
    if trip.leaves_on and trip.home_on and trip.leaves_on < trip.home_on:
        conditions.add(Condition.OVERNIGHT)
    ordered = [word.value for word in Condition if word in conditions]
    initial = {"title": trip.name} | hand | told | {"conditions": ordered}
    return Guess(initial, tuple(_unknown(contests)))


def _from_contests(trip: Trip, contests: list[Contest]) -> dict[str, Any]:
    entries = [entry for contest in contests for entry in contest.entries.all()]
    ancillary = [entry for entry in entries if entry.category.ancillary]
    on = {condition for field, condition, _ in SITE if _says_no(contests, field)}
    if ancillary:
        on.add(Condition.ANCILLARY)
    return {
        "entries": len(entries),
        "steaks": len(entries) - len(ancillary),
        "days": _days(trip, contests),
        "judge_bites": sum(entry.rulebook.sheets_expected for entry in ancillary),
        "conditions": on,
    }


def _says_no(contests: list[Contest], field: str) -> bool:
    return any(getattr(contest, field) == Contest.Answer.NO for contest in contests)


def _days(trip: Trip, contests: list[Contest]) -> int:
    if trip.leaves_on and trip.home_on:
        return (trip.home_on - trip.leaves_on).days + 1
    held = [contest.held_on for contest in contests]
    return (max(held) - min(held)).days + 1 if held else 1


def _from_people(trip: Trip) -> dict[str, int]:
    roles = list(Membership.objects.for_team(trip.team_id).values_list("role", flat=True))
    cooks = sum(role in (Role.COOK, Role.OWNER) for role in roles)
    people = sum(role != Role.READER for role in roles)
    return {"cooks": max(cooks, 1), "people": max(people, 1)}


def _chosen_before(last: PackingList | None) -> set[Condition]:
    if last is None:
        return {Condition.CHARCOAL}
    return set(last.conditions_on) - TOLD - {Condition.TRAILER, Condition.OVERNIGHT}


def _unknown(contests: list[Contest]) -> list[str]:
    """What the contests leave open, so that the form can say it: better brought than missed."""
    rows = []
    for contest in contests:
        open_ones = [words for field, _, words in SITE if not getattr(contest, field)]
        if open_ones:
            rows.append(f"{contest}: {', '.join(open_ones)}")
    return rows
