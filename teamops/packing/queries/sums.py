"""How far a list has got: per container and stage how many lines count, and how many are done."""

from collections import Counter
from dataclasses import dataclass
from functools import cache
from typing import Any
from uuid import UUID

from django.db import connection
from django.db.models import Count, F, Q

from teamops.packing.models import PackingLine
from teamops.packing.stages import WORDS, Stage

DONE = {
    Stage.PACK: Q(packed_amount__gte=F("amount")),
    Stage.LOAD: Q(loaded_at__isnull=False),
    Stage.HOME: Q(home_at__isnull=False),
}
WANTED = Q(gone=False, amount__gt=0)
# What gets used up does not come home.
COUNTED = {Stage.PACK: WANTED, Stage.LOAD: WANTED, Stage.HOME: WANTED & Q(consumable=False)}

Sums = dict[str, Counter[str]]


@dataclass(frozen=True, slots=True)
class Tab:
    """A stage with how far it has got; `mark` names its count on the page."""

    stage: Stage
    title: str
    mark: str
    count: str
    left: int


def sum_up(list_id: UUID) -> Sums:
    """Per container and stage how many lines of a list count, and how many are done; one query."""
    sql, params = _query(connection.vendor)
    wanted = _stored(list_id)
    with connection.cursor() as cursor:
        cursor.execute(sql, [wanted if value == _stored(NO_LIST) else value for value in params])
        rows = cursor.fetchall()
    sums: Sums = {}
    for container, consumable, many, *done in rows:
        sum_ = sums.setdefault(container, Counter())
        for stage, count in zip(Stage, done, strict=True):
            if stage is Stage.HOME and consumable:
                continue  # as in COUNTED
            sum_[f"{stage}_all"] += many
            sum_[f"{stage}_done"] += count
    return sums


NO_LIST = UUID(int=0)


@cache
def _query(vendor: str) -> tuple[str, tuple[Any, ...]]:
    """The query's text and values for a database, with NO_LIST where a list's id belongs.

    Kept, because every tick asks for it and writing the text costs six times the answer.
    """
    rows = PackingLine.objects.filter(WANTED, packing_list=NO_LIST).order_by()
    counted = rows.values_list("container", "consumable").annotate(
        many=Count("pk"),
        pack_done=Count("pk", filter=DONE[Stage.PACK]),
        load_done=Count("loaded_at"),  # as in DONE: a count of a column leaves its nulls out
        home_done=Count("home_at"),
    )
    return counted.query.sql_with_params()


def _stored(list_id: UUID) -> Any:
    """An id as the database keeps it."""
    return PackingLine._meta.get_field("packing_list").get_db_prep_value(list_id, connection)


def tabs_of(sums: Sums) -> tuple[Tab, ...]:
    """The stages in their order, each with how far it has got."""
    tabs = []
    for stage in Stage:
        done = sum(row[f"{stage}_done"] for row in sums.values())
        every = sum(row[f"{stage}_all"] for row in sums.values())
        words = WORDS[stage]
        tabs.append(Tab(stage, words.title, f"tab-{stage}", f"{done} of {every}", every - done))
    return tuple(tabs)


def box_count(sums: Sums, name: str, stage: Stage) -> str:
    """How many of a container's lines are done."""
    row = sums.get(name, Counter())
    return f"{row[f'{stage}_done']} of {row[f'{stage}_all']}"
