"""Contest by contest: what the boxes of one category earned, averaged over a contest's boxes."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any, NamedTuple

from django.db.models import Avg, CharField, Count, Field, Max, Min, Q, QuerySet, Sum
from django.db.models.functions import Cast

from teamops.contests.models import Contest
from teamops.insight.queries.choices import Selection
from teamops.insight.queries.narrow import ALL
from teamops.judging.models import CriterionResult, Result
from teamops.teams.models import Team

NO_MARKS = {
    Result.Basis.JUDGE_TOTALS: "judges’ totals only",
    Result.Basis.TOTAL: "one total only",
    Result.Basis.PLACING: "placing only",
    Result.Basis.MARKS: "its points lost cannot be told",
}


class Boxes(NamedTuple):
    """The boxes of one contest whose losses are known, averaged criterion by criterion.

    `lost` and `most` are in points and `means` in marks, all in the order of the criteria asked
    for.
    """

    lost: tuple[float, ...] = ()
    most: tuple[float, ...] = ()
    means: tuple[float | None, ...] = ()
    number: int = 0


NO_BOXES = Boxes()


class ContestDay(NamedTuple):
    """One contest of a selection; `why_out` says why it is not in the ledger, if it is not.

    `boxes` counts all its boxes in the category, `first_box` is the id of one of them, and `known`
    holds what the ledger reads. `sheets` are the judges' sheets of all its boxes with marks;
    `rounding` is what only the rulebook's rounding took and `docked` what was taken off for
    lateness, both in points a box.
    """

    contest_id: str
    name: str
    held_on: date
    boxes: int
    first_box: str
    known: Boxes
    sheets: int
    rounding: float
    docked: float
    why_out: str = ""
    left_out: bool = False

    @property
    def counts(self) -> bool:
        return not self.why_out and not self.left_out

    @property
    def lost(self) -> float:
        """All points lost a box: by criterion, to rounding and for lateness."""
        return sum(self.known.lost) + self.rounding + self.docked


# A ledger over many contests reads binary floats, since it tells averages and chances; the exact
# account is the entry's own. The database averages a contest's boxes. Keys come as text and numbers
# as they are: there may be a thousand of them, and converting each costs more than reading it.
AS_IT_IS: Any = Field()
LINE = {
    "a_lost": Avg("lost", output_field=AS_IT_IS),
    "a_most": Avg("most", output_field=AS_IT_IS),
    "a_mean": Avg("mean", output_field=AS_IT_IS),
    "a_count": Count("pk", output_field=AS_IT_IS),
}
ROW = (
    "key", "entry__contest__name", "entry__contest__held_on",
    "boxes", "said", "disqualified", "box", "papers", "rounding", "docked",
)  # fmt: skip
BY_DAY = ("entry__contest__held_on", "entry__contest__name", "key")


def contest_days(team: Team, selection: Selection, criteria: Sequence[int]) -> list[ContestDay]:
    """Every judged contest of the selection with papers, oldest first; two queries.

    Reads results by criterion, never marks: those of these criteria of the selection's rulebook,
    by id. A contest whose boxes were disqualified, or whose losses by criterion are unknown, is
    kept beside the others and says so.
    """
    lines = CriterionResult.objects.for_team(team).filter(chosen(selection, "result__entry__"))
    known = known_boxes(lines, criteria)
    own = Q(entry__rulebook=selection.rulebook_id)
    marked = own & Q(basis=Result.Basis.MARKS, entry__disqualified=False)
    rows: Iterable[Any] = (
        Result.objects.for_team(team)
        .exclude(basis=Result.Basis.NONE)
        .filter(chosen(selection, "entry__"))
        .order_by()
        .values(
            "entry__contest__held_on",
            "entry__contest__name",
            key=Cast("entry__contest_id", CharField()),
        )
        .annotate(
            boxes=Count("pk", filter=own, output_field=AS_IT_IS),
            said=Max("basis", filter=own),  # of several boxes without marks, one is said
            disqualified=Count(
                "pk", filter=own & Q(entry__disqualified=True), output_field=AS_IT_IS
            ),
            box=Min(Cast("pk", CharField()), filter=own),
            papers=Sum("sheets", filter=marked, output_field=AS_IT_IS),
            rounding=Sum("lost_to_rounding", filter=marked, output_field=AS_IT_IS),
            docked=Sum("docked", filter=marked, output_field=AS_IT_IS),
        )
        .order_by(*BY_DAY)
        .values_list(*ROW)
    )
    return [_day(row, known, selection) for row in rows if row[3]]


def known_boxes(lines: QuerySet[CriterionResult], criteria: Sequence[int]) -> dict[str, Boxes]:
    """By contest's id, its boxes whose losses are known, but for disqualified ones; one query.

    A result tells all its losses or none.
    """
    rows: Iterable[Any] = (
        lines.filter(
            lost__isnull=False, result__entry__disqualified=False, result__entry__cooked_for=""
        )
        .order_by()
        .values("criterion_id", key=Cast("result__entry__contest_id", CharField()))
        .annotate(**LINE)
        .values_list("key", "criterion_id", *LINE)
    )
    by_contest: dict[str, dict[int, Any]] = {}
    for key, criterion, *numbers in rows:
        by_contest.setdefault(key, {})[criterion] = numbers
    return {
        dashed(key): _boxes([told[criterion] for criterion in criteria])
        for key, told in by_contest.items()
        if all(criterion in told for criterion in criteria)
    }


def _boxes(numbers: Sequence[Any]) -> Boxes:
    lost, most, means, counts = zip(*numbers, strict=True)
    return Boxes(
        tuple(map(float, lost)),  # PostgreSQL averages decimals to decimals
        tuple(map(float, most)),
        tuple([None if mean is None else float(mean) for mean in means]),
        counts[0],
    )


def chosen(selection: Selection, path: str, *, every_category: bool = False) -> Q:
    """The selection's judged contests, without boxes cooked for another team.

    Not by rulebook, which is told apart afterwards: one is shared by all teams, and a database that
    took its index would read everybody's entries.
    """
    since, until = selection.days
    one = Q(**{f"{path}contest__kind": Contest.Kind.JUDGED, f"{path}cooked_for": ""})
    if not every_category:
        one &= Q(**{f"{path}category": selection.category_id})
    if since:
        one &= Q(**{f"{path}contest__held_on__gte": since})
    if until:
        one &= Q(**{f"{path}contest__held_on__lte": until})
    return one & selection.narrow.chosen(path) if selection.narrow != ALL else one


def dashed(key: str) -> str:
    """A UUID's text as addresses write it; SQLite keeps it without dashes."""
    key = key.replace("-", "")
    return f"{key[:8]}-{key[8:12]}-{key[12:16]}-{key[16:20]}-{key[20:]}"


def _day(row: tuple[Any, ...], known: Mapping[str, Boxes], selection: Selection) -> ContestDay:
    key, name, held_on, boxes, basis, disqualified, box, sheets, rounding, docked = row
    contest_id = dashed(key)
    told = known.get(contest_id, NO_BOXES)
    why_out = ""
    if not told.number:
        why_out = "disqualified" if disqualified == boxes else NO_MARKS[Result.Basis(basis)]
    return ContestDay(
        contest_id=contest_id,
        name=name,
        held_on=held_on,
        boxes=boxes,
        first_box=dashed(box),
        known=told,
        sheets=sheets or 0,
        rounding=float(rounding or 0) / max(told.number, 1),
        docked=float(docked or 0) / max(told.number, 1),
        why_out=why_out,
        left_out=contest_id in selection.left_out,
    )
