"""What a team's ledgers stand on, read cheaply: what can be chosen, and a stamp of all of it."""

from collections.abc import Iterable
from dataclasses import dataclass
from hashlib import sha256
from typing import Any, NamedTuple

from django.db.models import CharField, Count, Max, Sum
from django.db.models.functions import Cast

from teamops.contests.models import Category, Contest
from teamops.insight.queries.choices import Choices, Group
from teamops.insight.queries.days import AS_IT_IS, dashed
from teamops.insight.queries.narrow import Held, cook_key, held
from teamops.judging.models import Change, ChangeUse, Result
from teamops.rules.models import Criterion, Rulebook
from teamops.teams.models import Team, User

COOK = ("entry__cook_of_record_id", "entry__guest_cook")
HELD = ("held_on", "place", "rain", "wind", "air_c")


class Boxes(NamedTuple):
    """A judged contest's boxes of one category and cook that were judged alike; keys are text.

    `saves` counts their results' versions and `last` is when one was last written, as the database
    has it: whatever is saved about a box changes one of the two, or `number`.
    """

    contest_id: str
    category_id: str
    rulebook_id: str
    basis: str
    disqualified: bool
    cook: str
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
    contests: dict[str, tuple[Held, Any]]
    cooks: dict[str, str]
    categories: dict[str, dict[str, Any]]
    rulebooks: dict[str, dict[str, Any]]


def ledger_ground(team: Team) -> Ground:
    """What this team's ledgers stand on; seven queries at most, however many contests.

    The stamp is another one as soon as a sheet is saved, corrected or taken away, a contest moves,
    a category, a rulebook or a change is altered: everything that a ledger's page shows is in it,
    by its content or, where a result says it, by the result's version and the time of its writing.
    """
    found = _found(team)
    rulebooks = [row["id"] for row in found.rulebooks.values()]
    criteria = list(Criterion.objects.filter(rulebook__in=rulebooks).values_list())
    changes = [
        list(Change.objects.for_team(team).values_list()),
        list(ChangeUse.objects.filter(change__team=team).order_by("pk").values_list()),
    ]
    content = repr((team.slug, team.units, found, criteria, changes))
    return Ground(_choices(found, team.units), sha256(content.encode()).hexdigest())


def ledger_choices(team: Team) -> Choices:
    """What of this team's judged contests has every judge's marks; five queries at most."""
    return _choices(_found(team), team.units)


def _found(team: Team) -> _Found:
    boxes = _boxes(team)
    categories = Category.objects.for_team(team)
    rulebooks = Rulebook.objects.filter(pk__in={box.rulebook_id for box in boxes})
    cooks = User.objects.filter(pk__in={int(box.cook) for box in boxes if box.cook.isdigit()})
    return _Found(
        boxes=boxes,
        contests=_contests(team),
        cooks={str(user.pk): str(user) for user in cooks.order_by("pk")},
        categories=_by_id(categories.values()),
        rulebooks=_by_id(rulebooks.order_by("pk").values()),
    )


def _by_id(rows: Iterable[Any]) -> dict[str, dict[str, Any]]:
    return {str(row["id"]): row for row in rows}


def _choices(found: _Found, units: str) -> Choices:
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
        ),
        found.cooks,
        units,
        found.contests,
    )


def _boxes(team: Team) -> list[Boxes]:
    """The team's boxes with papers, in an order that is always the same."""
    keys = [Cast(f"entry__{name}_id", CharField()) for name in ("contest", "category", "rulebook")]
    rows: Iterable[Any] = (
        Result.objects.for_team(team)
        .filter(entry__contest__kind=Contest.Kind.JUDGED, entry__cooked_for="")
        .exclude(basis=Result.Basis.NONE)
        .order_by()
        .values_list(*keys, "basis", "entry__disqualified", *COOK)
        .annotate(
            number=Count("pk", output_field=AS_IT_IS),
            saves=Sum("version", output_field=AS_IT_IS),
            last=Max("scored_at", output_field=AS_IT_IS),
        )
    )
    return sorted(
        [
            Boxes._make([*map(dashed, row[:3]), *row[3:5], cook_key(*row[5:7]), *row[7:]])
            for row in rows
        ]
    )


def _contests(team: Team) -> dict[str, tuple[Held, Any]]:
    """The judged contests: when, where and in what weather, and what else a page says of them."""
    rows = Contest.objects.for_team(team).filter(kind=Contest.Kind.JUDGED).order_by("pk")
    told: Iterable[Any] = rows.values_list("pk", "name", "version", *HELD)
    return {str(pk): (held(*where), (name, version)) for pk, name, version, *where in told}


def _group(box: Boxes, category: dict[str, Any], rulebook: dict[str, Any], at: Held) -> Group:
    return Group(
        category_id=category["id"],
        category=category["name"],
        ancillary=category["ancillary"],
        rulebook_id=rulebook["id"],
        rulebook=f"{rulebook['name']} {rulebook['edition']}".strip(),
        contest_id=box.contest_id,
        held=at,
        cook=box.cook,
    )
