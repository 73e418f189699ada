"""What a change is told from: each contest's average by criterion, over all sheets of its boxes."""

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any, NamedTuple
from uuid import UUID

from django.db.models import CharField, Count, F, Q, Sum
from django.db.models.functions import Cast

from teamops.calc import scoring
from teamops.contests.models import Contest
from teamops.insight.queries.choices import Selection
from teamops.insight.queries.days import AS_IT_IS, chosen, dashed
from teamops.judging.models import CriterionResult, Mark
from teamops.rules.models import Criterion
from teamops.teams.models import Team


class Average(NamedTuple):
    """One contest: its average marks in the order of the criteria asked for, of so many sheets.

    Two boxes of a contest shared its day: their sheets are averaged together, as one table.
    """

    contest_id: str
    name: str
    held_on: date
    boxes: int
    sheets: int
    means: tuple[float | None, ...]

    @property
    def is_whole(self) -> bool:
        """Whether every criterion has a mark."""
        return None not in self.means


class Told(NamedTuple):
    """A criterion's marks at one contest: their sum, how many, and of how many boxes."""

    total: float
    marks: int
    boxes: int


# by category, then by contest, then by criterion
Tables = dict[str, dict[str, dict[int, Told]]]


def contest_averages(
    team: Team, selection: Selection, criteria: Sequence[Criterion]
) -> list[Average]:
    """The contests of a selection that gave marks, oldest first, left out ones too; two queries."""
    tables = read_tables(team, chosen(selection, "result__entry__"))
    return averages_of(tables.get(str(selection.category_id), {}), criteria, held_contests(team))


def read_tables(team: Team, which: Q | None = None) -> Tables:
    """
    The team's marks by category, contest and criterion, but of disqualified boxes; one query.

    From the stored means, never from marks. By default of every judged contest.
    """
    judged = Q(
        result__entry__contest__kind=Contest.Kind.JUDGED, result__entry__cooked_for=""
    )  # fmt: skip
    rows: Iterable[Any] = (
        CriterionResult.objects.for_team(team)
        .filter(judged if which is None else which, mean__isnull=False, judges__gt=0)
        .filter(result__entry__disqualified=False)
        .order_by()
        .values(
            "criterion_id",
            contest=Cast("result__entry__contest_id", CharField()),
            category=Cast("result__entry__category_id", CharField()),
        )
        .annotate(
            total=Sum(F("mean") * F("judges"), output_field=AS_IT_IS),
            marks=Sum("judges", output_field=AS_IT_IS),
            boxes=Count("pk", output_field=AS_IT_IS),
        )
        .values_list("category", "contest", "criterion_id", "total", "marks", "boxes")
    )
    tables: Tables = {}
    for category, contest, criterion, total, marks, boxes in rows:
        by_contest = tables.setdefault(dashed(category), {})
        told = Told(float(total), int(marks), boxes)
        by_contest.setdefault(dashed(contest), {})[criterion] = told
    return tables


def held_contests(team: Team) -> dict[str, tuple[str, date]]:
    """Name and day of the team's judged contests by id, oldest first; one query."""
    rows = Contest.objects.for_team(team).filter(kind=Contest.Kind.JUDGED)
    told = rows.order_by("held_on", "name", "pk").values_list("pk", "name", "held_on")
    return {str(pk): (name, held_on) for pk, name, held_on in told}


def averages_of(
    tables: dict[str, dict[int, Told]],
    criteria: Sequence[Criterion],
    held: dict[str, tuple[str, date]],
) -> list[Average]:
    """One category's contests under the rulebook of these criteria, oldest first. No query."""
    keys, found = [row.pk for row in criteria], []
    for contest_id, (name, held_on) in held.items():
        told = tables.get(contest_id)
        own = [told.get(key) for key in keys] if told else []
        there = [one for one in own if one is not None]
        if there:
            means = tuple(one.total / one.marks if one else None for one in own)
            boxes, sheets = max(one.boxes for one in there), max(one.marks for one in there)
            found.append(Average(contest_id, name, held_on, boxes, sheets, means))
    return found


def at_top(team: Team, selection: Selection, criteria: Sequence[Criterion]) -> list[float]:
    """Each criterion's part of marks that are at the top of its scale, 0 to 1; one query.

    The database counts them: twenty-five thousand marks are not read.
    """
    here = chosen(selection, "sheet__entry__") & Q(sheet__entry__disqualified=False)
    left_out = [UUID(key) for key in selection.left_out]
    rows: Iterable[Any] = (
        Mark.objects.for_team(team)
        .filter(here, points__isnull=False)
        .exclude(sheet__entry__contest__in=left_out)
        .order_by()
        .values("criterion_id")
        .annotate(
            top=Count("pk", filter=Q(points__gte=F("criterion__most")), output_field=AS_IT_IS),
            marks=Count("pk", output_field=AS_IT_IS),
        )
        .values_list("criterion_id", "top", "marks")
    )
    parts = {criterion: top / marks for criterion, top, marks in rows}
    return [parts.get(row.pk, 0.0) for row in criteria]


def scales_of(criteria: Iterable[Criterion]) -> list[scoring.Criterion]:
    """Criteria as a comparison takes them."""
    return [
        scoring.Criterion(row.key, row.name, row.weight, row.least, row.most, row.step)
        for row in criteria
    ]


def has_scale(row: Criterion) -> bool:
    """Whether the rulebook says the lowest and the highest mark, so that marks can be compared."""
    return row.least is not None and row.most is not None and row.least < row.most
