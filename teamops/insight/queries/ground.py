"""What a team's ledgers stand on, read cheaply: what can be chosen, and a stamp of all of it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from hashlib import sha256
from typing import Any, NamedTuple

from django.db.models import CharField, Count, Max, Sum
from django.db.models.functions import Cast

from teamops.contests.models import Category, Contest
from teamops.insight.queries.choices import Choices, Group
from teamops.insight.queries.days import AS_IT_IS, dashed
from teamops.judging.models import Change, Result
from teamops.rules.models import Criterion, Rulebook
from teamops.teams.models import Team


class Boxes(NamedTuple):
    """A judged contest's boxes of one category that were judged alike; keys are text.

    `saves` counts their results' versions and `last` is when one was last written, as the database
    has it: whatever is saved about a box changes one of the two, or `number`.
    """

    contest_id: str
    category_id: str
    rulebook_id: str
    basis: str
    disqualified: bool
    number: int
    saves: int
    last: object

    @property
    def counts(self) -> bool:
        return self.basis == Result.Basis.MARKS and not self.disqualified


@dataclass(frozen=True, slots=True)
class Ground:
    """What can be chosen, and a name for everything that any ledger of the team is made of."""

    choices: Choices
    stamp: str


class _Found(NamedTuple):
    """The boxes with papers, and the rows that they point to, by their ids as text."""

    boxes: list[Boxes]
    contests: dict[str, list[Any]]
    categories: dict[str, dict[str, Any]]
    rulebooks: dict[str, dict[str, Any]]


def ledger_ground(team: Team) -> Ground:
    """What this team's ledgers stand on; six queries, however many contests.

    The stamp is another one as soon as a sheet is saved, corrected or taken away, a contest moves,
    a category, a rulebook or a change is altered: everything that a ledger's page shows is in it,
    by its content or, where a result says it, by the result's version and the time of its writing.
    """
    found = _found(team)
    rulebooks = [row["id"] for row in found.rulebooks.values()]
    criteria = list(Criterion.objects.filter(rulebook__in=rulebooks).values_list())
    changes = list(Change.objects.for_team(team).values_list())
    content = repr((team.slug, found, criteria, changes))
    return Ground(_choices(found), sha256(content.encode()).hexdigest())


def ledger_choices(team: Team) -> Choices:
    """What of this team's judged contests has every judge's marks; four queries."""
    return _choices(_found(team))


def _found(team: Team) -> _Found:
    boxes = _boxes(team)
    categories = Category.objects.for_team(team)
    rulebooks = Rulebook.objects.filter(pk__in={box.rulebook_id for box in boxes})
    return _Found(
        boxes=boxes,
        contests={str(pk): rest for pk, *rest in _contests(team)},
        categories=_by_id(categories.values()),
        rulebooks=_by_id(rulebooks.order_by("pk").values()),
    )


def _by_id(rows: Iterable[Any]) -> dict[str, dict[str, Any]]:
    return {str(row["id"]): row for row in rows}


def _choices(found: _Found) -> Choices:
    return Choices(
        tuple(
            [
                _group(
                    box,
                    found.categories[box.category_id],
                    found.rulebooks[box.rulebook_id],
                    found.contests[box.contest_id][0],
                )
                for box in found.boxes
                if box.counts and box.contest_id in found.contests  # not gone in between
            ]
        )
    )


def _boxes(team: Team) -> list[Boxes]:
    """The team's boxes with papers, in an order that is always the same."""
    keys = [Cast(f"entry__{name}_id", CharField()) for name in ("contest", "category", "rulebook")]
    rows: Iterable[Any] = (
        Result.objects.for_team(team)
        .filter(entry__contest__kind=Contest.Kind.JUDGED, entry__cooked_for="")
        .exclude(basis=Result.Basis.NONE)
        .order_by()
        .values_list(*keys, "basis", "entry__disqualified")
        .annotate(
            number=Count("pk", output_field=AS_IT_IS),
            saves=Sum("version", output_field=AS_IT_IS),
            last=Max("scored_at", output_field=AS_IT_IS),
        )
    )
    return sorted([Boxes._make([*map(dashed, row[:3]), *row[3:]]) for row in rows])


def _contests(team: Team) -> list[Any]:
    rows = Contest.objects.for_team(team).filter(kind=Contest.Kind.JUDGED)
    return list(rows.order_by("pk").values_list("pk", "held_on", "name", "version"))


def _group(box: Boxes, category: dict[str, Any], rulebook: dict[str, Any], held_on: date) -> Group:
    return Group(
        category_id=category["id"],
        category=category["name"],
        ancillary=category["ancillary"],
        rulebook_id=rulebook["id"],
        rulebook=f"{rulebook['name']} {rulebook['edition']}".strip(),
        contest_id=box.contest_id,
        held_on=held_on,
    )
