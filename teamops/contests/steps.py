"""The usual steps of a steak, counted back from the turn-in: a start to change, not a recipe."""

from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction

from teamops.calc.units import f_to_c
from teamops.contests.models import Contest, Entry, Task
from teamops.contests.queries.cooked import under_minimum

RAW = "Raw beef: own board, own gloves, wash hands; write down when it left the cooler."
BLADES = (
    "Blades: cut glove on. Blade-tenderized beef is not an intact cut: ask your health authority."
)
WARM = "Time out of the cooler counts: your declared rule and local code govern."
FIRE = "Open air only, never under a closed canopy; extinguisher in reach; local fire rules govern."
PROBE = "A checked thermometer decides, in the thickest part."
UNDER = f"Pulling at 136 °F is {under_minimum('us')}"
CLEAN = "Clean board, clean gloves: nothing that touched raw meat."


@dataclass(frozen=True, slots=True)
class Step:
    """One step: minutes before the turn-in, what, the target in °F as cooks say it, a caution."""

    minutes: int
    what: str
    target_f: int | None = None
    caution: str = ""


# Minutes and temperatures are common practice, no source.
STEAK = (
    Step(120, "Trim and tie", caution=RAW),
    Step(108, "Tenderize with the blades", caution=BLADES),
    Step(103, "Marinate for 5 minutes", caution=RAW),
    Step(97, "Season, tag A and B"),
    Step(95, "Start to warm, aim for 90 to 100 °F", 95, WARM),
    Step(75, "Light the fire", caution=FIRE),
    Step(35, "Check the grate: 550 to 600 °F", 575),
    Step(31, "Mark: four presses of 1:30 under the weight, turn 45° for the crosshatch"),
    Step(25, "Move to the raised rack, air about 300 °F", 117, PROBE),
    Step(20, "Flip", 127, PROBE),
    Step(15, "Pull, tent and let it carry over", 136, UNDER),
    Step(10, "Butter and dust", 141, CLEAN),
    Step(8, "Box, check the lid and the box rules", caution=CLEAN),
    Step(6, "Walk to turn-in, sign the ticket"),
)


@transaction.atomic
def add_usual_steps(*, contest: Contest) -> int:
    """Put the usual steps under each steak, each box ticking its own; how many were added.

    An ancillary gets none: what holds for beef is wrong for chicken. A contest without entries yet
    gets them once, for every box to come.
    """
    entries = list(contest.entries.select_related("category"))
    if not entries:
        return add_steak_steps(contest=contest)
    steaks = [entry for entry in entries if not entry.category.ancillary]
    return sum(add_steak_steps(contest=contest, entry=entry) for entry in steaks)


@transaction.atomic
def add_steak_steps(*, contest: Contest, entry: Entry | None = None) -> int:
    """Put the usual steps on the prep sheet; one that is there already is left alone."""
    there = set(contest.tasks.steps().filter(entry=entry).values_list("title", flat=True))
    added = 0
    for step in STEAK:
        if step.what in there:
            continue
        task = Task(
            contest=contest,
            entry=entry,
            title=step.what,
            minutes_before=step.minutes,
            target_c=None if step.target_f is None else f_to_c(Decimal(step.target_f)),
            caution=step.caution,
        )
        task.full_clean()
        task.save()
        added += 1
    return added
