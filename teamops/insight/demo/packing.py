"""The demo's packing list: worked out, half packed, and short of one thing."""

from decimal import Decimal

from teamops.contests.models import Trip
from teamops.packing.actions import make_list, set_have, set_stage
from teamops.packing.models import PackingList
from teamops.packing.queries import guess_numbers
from teamops.packing.stages import Stage
from teamops.teams.models import User

SHORT_OF = "charcoal"
PACKED = 30  # lines that the helper has dealt with by the day of loading


def pack(trip: Trip, *, planner: User, packer: User) -> PackingList:
    """A list for the trip as its form would start, and what somebody has packed of it."""
    packing_list = PackingList(trip=trip, **guess_numbers(trip).initial)
    make_list(packing_list=packing_list, kits=None, with_starters=True, by=planner)
    lines = list(packing_list.lines.all())
    for line in lines[:PACKED]:
        set_stage(line=line, stage=Stage.PACK, on=True, by=packer)
    short = next(line for line in lines if SHORT_OF in line.name.lower())
    set_have(line=short, have=(short.amount / 2).quantize(Decimal(1)), by=packer)
    return packing_list
