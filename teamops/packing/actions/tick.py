"""Ticks: each says what shall be so, so that twice is once and a replay does no harm."""

from datetime import datetime
from typing import Any, NamedTuple
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from teamops.packing.actions.state import take_list
from teamops.packing.models import PackingLine
from teamops.packing.queries.rows import LineFacts, ListState
from teamops.packing.stages import Stage
from teamops.teams.models import Team, User

Fields = dict[str, Any]


class Ticked(NamedTuple):
    """A line as a tick left it, and how new its list is now."""

    line: LineFacts
    state: ListState


def set_stage(*, line: PackingLine, stage: Stage, on: bool, by: User) -> Ticked:
    """Tick a line at hand for a stage, or untick it, as `tick_line` does."""
    packing_list = line.packing_list
    return tick_line(
        team=packing_list.trip.team, list_id=packing_list.pk, line_id=line.pk, stage=stage, on=on,
        by=by,
    )  # fmt: skip


@transaction.atomic
def tick_line(
    *, team: Team, list_id: UUID, line_id: UUID, stage: Stage, on: bool, by: User
) -> Ticked:
    """Tick a line of a team's list for a stage, or untick it; again keeps the first who and when.

    What is loaded was packed, and what is unpacked is not in the truck. Of a short line what
    there is gets packed, and nothing of a line of which there is none. Raises
    PackingLine.DoesNotExist, and writes nothing, where the team has no such line on that list.
    """
    take_list(list_id)  # whoever writes to a line does so first: what is read now stays true
    *facts, state, shape = (
        PackingLine.objects.for_team(team)
        .filter(packing_list=list_id)
        .values_list(*LineFacts._fields, "packing_list__state", "packing_list__shape")
        .get(pk=line_id)
    )
    line = LineFacts(*facts)
    if changed := _ticked(line, stage, timezone.now(), by) if on else _unticked(line, stage):
        PackingLine.objects.filter(pk=line_id).update(**changed, touched=state)
    return Ticked(line._replace(**changed), ListState(list_id, state, shape))


def _unticked(line: LineFacts, stage: Stage) -> Fields:
    if not line.tick(stage)[0]:
        return {}
    fields: Fields = _tick("home", None, None)
    if stage is not Stage.HOME:
        fields = _tick("loaded", None, None)
    if stage is Stage.PACK:
        fields |= _tick("packed", None, None) | {"packed_amount": None}
    return fields


def _ticked(line: LineFacts, stage: Stage, now: datetime, by: User) -> Fields:
    fields: Fields = {}
    if stage is not Stage.HOME:
        fields = _packed(line, now, by, more=stage is Stage.PACK)
    packed = fields or line.packed_at
    if stage is Stage.LOAD and packed and not line.loaded_at:
        fields |= _tick("loaded", now, by)
    if stage is Stage.HOME and not line.home_at:
        fields = _tick("home", now, by)
    return fields


def _packed(line: LineFacts, now: datetime, by: User, *, more: bool) -> Fields:
    """Pack what is needed, or what there is; `more` also tops up a line packed in part."""
    there_is = line.amount if line.have is None else line.have
    if line.have == 0 or line.packed_amount == there_is or (line.packed_at and not more):
        return {}
    return _tick("packed", now, by) | {"packed_amount": there_is}


def _tick(stage: str, at: datetime | None, by: User | None) -> Fields:
    return {f"{stage}_at": at, f"{stage}_by": by and by.pk}
