"""Which changes were on at which contests, and how a change stands just now."""

from collections.abc import Mapping, Sequence
from datetime import date
from hashlib import sha256
from typing import NamedTuple
from uuid import UUID

from django.db.models import Exists, OuterRef, Q

from teamops.contests.models import Contest
from teamops.judging.models import Change, ChangeUse, Result
from teamops.teams.models import Team


class Pattern(NamedTuple):
    """A change, and whether it was on: contest by contest, in the order that was asked for."""

    change: Change
    on: tuple[bool, ...]

    @property
    def differs(self) -> bool:
        """Whether it was on at some of the contests and off at others."""
        return any(self.on) and not all(self.on)


class HeldContest(NamedTuple):
    """A judged contest at which a change can be told to be on or off."""

    pk: UUID
    name: str
    held_on: date
    is_coming: bool


def change_patterns(
    team: Team, category_id: UUID | None, contests: Sequence[tuple[str, date]]
) -> list[Pattern]:
    """
    The changes of this category and of every box, as they were at these contests; two queries.

    A contest is its id, as addresses write it, and its day; what is said of it goes over the
    change's days. None without contests. Without a category, every change.
    """
    if not contests:
        return []
    changes = Change.objects.for_team(team)
    if category_id is not None:
        changes = changes.filter(Q(category=None) | Q(category=category_id))
    uses: dict[UUID, dict[str, bool]] = {}
    said = ChangeUse.objects.for_team(team).values_list("change_id", "contest_id", "on")
    for change_id, contest_id, on in said:
        uses.setdefault(change_id, {})[str(contest_id)] = on
    return [pattern_of(change, uses.get(change.pk, {}), contests) for change in changes]


def pattern_of(
    change: Change, uses: Mapping[str, bool], contests: Sequence[tuple[str, date]]
) -> Pattern:
    """One change at these contests; `uses` say it by the contest's id where they do. No query."""
    on = [uses[key] if key in uses else change.by_its_days(day) for key, day in contests]
    return Pattern(change, tuple(on))


def uses_of(change: Change) -> dict[UUID, bool]:
    """What is said of single contests, by the contest's id; one query, none for a new change."""
    if change._state.adding:
        return {}
    return dict(change.uses.order_by("contest").values_list("contest_id", "on"))


def how_it_stands(change: Change, uses: Mapping[UUID, bool]) -> str:
    """A name for exactly what a change says: another one as soon as anything of it is altered."""
    said = sorted((str(contest), on) for contest, on in uses.items())
    content = (
        change.what, change.starts_on, change.ends_on, change.category_id, change.note, said,
    )  # fmt: skip
    return sha256(repr(content).encode()).hexdigest()[:24]


def contests_to_say(
    team: Team, today: date, uses: Mapping[UUID, bool] | None = None
) -> list[HeldContest]:
    """
    Judged contests with papers, those that are coming, and any that `uses` speak of; latest first.

    One query.
    """
    papers = Result.objects.filter(entry__contest=OuterRef("pk")).exclude(basis=Result.Basis.NONE)
    coming = Q(held_on__gte=today) & ~Q(state__in=Contest.OFF)
    rows = (
        Contest.objects.for_team(team)
        .filter(kind=Contest.Kind.JUDGED)
        .filter(Exists(papers) | coming | Q(pk__in=list(uses or {})))
        .order_by("-held_on", "name", "pk")
        .values_list("pk", "name", "held_on")
    )
    return [HeldContest(pk, name, held_on, held_on >= today) for pk, name, held_on in rows]
