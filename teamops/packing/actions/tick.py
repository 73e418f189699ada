"""Ticks: each says what shall be so, so that twice is once and a replay does no harm."""

from django.db import transaction
from django.db.models import F, Q, QuerySet
from django.db.models.functions import Coalesce
from django.utils import timezone

from teamops.packing.actions.state import next_state
from teamops.packing.models import PackingLine
from teamops.packing.stages import Stage
from teamops.teams.models import User


@transaction.atomic
def set_stage(*, line: PackingLine, stage: Stage, on: bool, by: User) -> None:
    """Tick a line for a stage, or untick it; saying it again keeps the first who and when.

    What is loaded was packed, and what is unpacked is not in the truck. Of a short line what
    there is gets packed, and nothing of a line of which there is none.
    """
    touched = {"touched": next_state(line.packing_list)}
    rows = PackingLine.objects.filter(pk=line.pk)
    if not on:
        _untick(rows, stage, touched)
        return
    if stage is not Stage.HOME:
        _pack(rows, touched, by, more=stage is Stage.PACK)
    if stage is not Stage.PACK:
        _tick(rows, stage, touched, by)


def _untick(rows: QuerySet[PackingLine], stage: Stage, touched: dict[str, int]) -> None:
    fields = {"home_at": None, "home_by": None}
    if stage is not Stage.HOME:
        fields = {"loaded_at": None, "loaded_by": None}
    if stage is Stage.PACK:
        fields |= {"packed_at": None, "packed_by": None, "packed_amount": None}
    ticked = rows.filter(**{f"{_column(stage)}_at__isnull": False})
    ticked.update(**fields, **touched)


def _pack(rows: QuerySet[PackingLine], touched: dict[str, int], by: User, *, more: bool) -> None:
    """Pack what is needed, or what there is; `more` also tops up a line packed in part."""
    there_is = Coalesce(F("have"), F("amount"))
    left = Q(packed_amount=None) | ~Q(packed_amount=there_is) if more else Q(packed_at=None)
    rows.exclude(have=0).filter(left).update(
        packed_at=timezone.now(), packed_by=by, packed_amount=there_is, **touched
    )


def _tick(rows: QuerySet[PackingLine], stage: Stage, touched: dict[str, int], by: User) -> None:
    column = _column(stage)
    rows = rows.filter(**{f"{column}_at": None})
    rows = rows.filter(packed_at__isnull=False) if stage is Stage.LOAD else rows
    rows.update(**{f"{column}_at": timezone.now(), f"{column}_by": by}, **touched)


def _column(stage: Stage) -> str:
    return {Stage.PACK: "packed", Stage.LOAD: "loaded", Stage.HOME: "home"}[stage]
