"""When to use a change at the coming contests, so that its scores can be told apart."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, NamedTuple
from uuid import UUID

import numpy as np

from teamops.calc.effects import on_off_plan
from teamops.contests.models import Contest, Entry
from teamops.judging.models import Change
from teamops.teams.models import Team


class Planned(NamedTuple):
    """A coming contest, and whether the change is to be used there; `kept` says it is decided."""

    pk: UUID
    name: str
    held_on: date
    on: bool
    kept: bool


@dataclass(frozen=True, slots=True)
class Plan:
    """The coming contests in their order, as decided and, for the rest, as suggested."""

    rows: tuple[Planned, ...] = ()

    @property
    def suggested(self) -> tuple[Planned, ...]:
        return tuple(row for row in self.rows if not row.kept)

    @property
    def kept(self) -> tuple[Planned, ...]:
        return tuple(row for row in self.rows if row.kept)


def plan_of(
    team: Team,
    change: Change,
    category_id: UUID | None,
    today: date,
    uses: Mapping[UUID, bool],
    sides: tuple[int, int],
) -> Plan:
    """
    A plan for the contests from today on at which the category is cooked, or may be; two queries.

    What is said of a contest already stays. `sides` count the contests without and with the change
    so far. The lot is drawn the same way at every look, until the contests are others.
    """
    coming = _coming(team, category_id, today)
    said = [uses[pk] for pk, _, _ in coming if pk in uses]
    free = [pk for pk, _, _ in coming if pk not in uses]
    rng = np.random.default_rng([change.pk.int % 2**64, *(pk.int % 2**64 for pk in free)])
    without, with_it = sides[0] + said.count(False), sides[1] + said.count(True)
    lot = dict(zip(free, on_off_plan(len(free), without, with_it, rng), strict=True))
    return Plan(
        tuple(
            Planned(pk, name, held_on, uses[pk] if pk in uses else lot[pk], pk in uses)
            for pk, name, held_on in coming
        )
    )


def _coming(team: Team, category_id: UUID | None, today: date) -> list[tuple[UUID, str, date]]:
    rows: Any = Contest.objects.for_team(team).coming(today).filter(kind=Contest.Kind.JUDGED)
    coming = list(rows.values_list("pk", "name", "held_on"))
    boxes: dict[UUID, set[UUID]] = {}
    entered = Entry.objects.filter(contest__in=[pk for pk, _, _ in coming]).order_by()
    for contest, category in entered.values_list("contest_id", "category_id"):
        boxes.setdefault(contest, set()).add(category)
    if category_id is None:
        return coming
    return [row for row in coming if category_id in boxes.get(row[0], {category_id})]
