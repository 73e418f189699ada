"""Contest by contest: what the boxes of one category earned, averaged over a contest's boxes."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any, NamedTuple

from django.db.models import Avg, CharField, Count, FloatField, Max, Min, Q, Sum
from django.db.models.functions import Cast

from teamops.contests.models import Contest
from teamops.insight.queries.choices import Selection
from teamops.judging.models import CriterionResult, Result
from teamops.rules.models import Criterion
from teamops.teams.models import Team

NO_MARKS = {
    Result.Basis.JUDGE_TOTALS: "judges’ totals only",
    Result.Basis.TOTAL: "one total only",
    Result.Basis.PLACING: "placing only",
    Result.Basis.MARKS: "its points lost cannot be told",
}


class Account(NamedTuple):
    """One criterion at one contest, its boxes averaged, in points; `mean` is in marks."""

    lost: float
    most: float
    mean: float | None

    @property
    def kept(self) -> float:
        """The part of the most that was earned, 0 to 1; of nothing, all."""
        return 1 - self.lost / self.most if self.most else 1.0


@dataclass(slots=True)
class Boxes:
    """The boxes of one contest whose losses are known: accounts by criterion, and what they are.

    `sheets` are all their judges' sheets together; `rounding` is what only the rulebook's rounding
    took, a box. [points]
    """

    accounts: dict[int, Account] = field(default_factory=dict)
    count: int = 0
    sheets: int = 0
    rounding: float = 0.0


@dataclass(slots=True)
class ContestDay:
    """One contest of the selection; `why_out` says why it is not in the ledger, if it is not.

    `boxes` counts all its boxes in the category, `counted` those that the accounts are of;
    `first_box` is the id of one of them.
    """

    contest_id: str
    name: str
    held_on: date
    boxes: int
    counted: int
    first_box: str
    accounts: Mapping[int, Account]
    sheets: int = 0
    rounding: float = 0.0
    why_out: str = ""
    left_out: bool = False

    @property
    def counts(self) -> bool:
        return not self.why_out and not self.left_out


# A ledger over many contests reads binary floats, since it tells averages and chances; the exact
# account is the entry's own. The database averages a contest's boxes, and keys come as text: there
# may be a thousand of them, and they only have to find their rows.
def _mean(column: str) -> Avg:
    return Avg(Cast(column, FloatField()))


LINE = {
    "a_lost": _mean("lost"),
    "a_most": _mean("most"),
    "a_mean": _mean("mean"),
    "a_count": Count("pk"),
    "a_sheets": Sum("result__sheets"),
    "a_rounding": _mean("result__lost_to_rounding"),
}

ROW = (
    "key", "entry__contest__name", "entry__contest__held_on",
    "boxes", "said", "disqualified", "box",
)  # fmt: skip
BY_DAY = ("entry__contest__held_on", "entry__contest__name", "key")


def contest_days(
    team: Team, selection: Selection, criteria: Iterable[Criterion]
) -> list[ContestDay]:
    """Every judged contest of the selection with papers, oldest first; two queries.

    Reads results by criterion, never marks, and of them these criteria of the selection's rulebook.
    A contest whose boxes were disqualified, or whose losses by criterion are unknown, is kept
    beside the others and says so.
    """
    known = _known_boxes(team, selection, {criterion.pk for criterion in criteria})
    own = Q(entry__rulebook=selection.rulebook_id)
    rows: Iterable[Any] = (
        Result.objects.for_team(team)
        .exclude(basis=Result.Basis.NONE)
        .filter(_chosen(selection, "entry__"))
        .order_by()
        .values(
            "entry__contest__held_on",
            "entry__contest__name",
            key=Cast("entry__contest_id", CharField()),
        )
        .annotate(
            boxes=Count("pk", filter=own),
            said=Max("basis", filter=own),  # of several boxes without marks, one is said
            disqualified=Count("pk", filter=own & Q(entry__disqualified=True)),
            box=Min(Cast("pk", CharField()), filter=own),
        )
        .order_by(*BY_DAY)
        .values_list(*ROW)
    )
    return [_day(row, known.get(row[0], NO_BOXES), selection) for row in rows if row[3]]


NO_BOXES = Boxes()


def _known_boxes(team: Team, selection: Selection, criteria: set[int]) -> dict[str, Boxes]:
    """By contest, the boxes whose losses are known: a result tells all its losses or none."""
    chosen = _chosen(selection, "result__entry__")
    lines = CriterionResult.objects.for_team(team).filter(
        chosen, lost__isnull=False, result__entry__disqualified=False
    )
    rows: Iterable[Any] = (
        lines.order_by()
        .values("criterion_id", key=Cast("result__entry__contest_id", CharField()))
        .annotate(**LINE)
        .values_list("key", "criterion_id", *LINE)
    )
    known: dict[str, Boxes] = {}
    for key, criterion, lost, most, mean, count, sheets, rounding in rows:
        if criterion in criteria:
            boxes = known.setdefault(key, Boxes())
            boxes.accounts[criterion] = Account(lost, most, mean)
            boxes.count, boxes.sheets, boxes.rounding = count, sheets, rounding
    return known


def _chosen(selection: Selection, path: str) -> Q:
    """The category's judged contests in these days.

    Not by rulebook, which is told apart afterwards: one is shared by all teams, and a database that
    took its index would read everybody's entries.
    """
    since, until = selection.days
    chosen = Q(
        **{
            f"{path}category": selection.category_id,
            f"{path}contest__kind": Contest.Kind.JUDGED,
        }
    )
    if since:
        chosen &= Q(**{f"{path}contest__held_on__gte": since})
    if until:
        chosen &= Q(**{f"{path}contest__held_on__lte": until})
    return chosen


def dashed(key: str) -> str:
    """A UUID's text as addresses write it; SQLite keeps it without dashes."""
    key = key.replace("-", "")
    return f"{key[:8]}-{key[8:12]}-{key[12:16]}-{key[16:20]}-{key[20:]}"


def _day(row: tuple[Any, ...], known: Boxes, selection: Selection) -> ContestDay:
    key, name, held_on, boxes, basis, disqualified, box = row
    contest_id = dashed(key)
    why_out = ""
    if not known.count:
        why_out = "disqualified" if disqualified == boxes else NO_MARKS[Result.Basis(basis)]
    return ContestDay(
        contest_id=contest_id,
        name=name,
        held_on=held_on,
        boxes=boxes,
        counted=known.count,
        first_box=dashed(box),
        accounts=known.accounts,
        sheets=known.sheets,
        rounding=known.rounding,
        why_out=why_out,
        left_out=contest_id in selection.left_out,
    )
